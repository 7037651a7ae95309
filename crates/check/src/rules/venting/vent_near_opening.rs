//! A vent that ends beside a window.

use super::lines::names;
use super::vent_ends_too_low::over_roof;
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::thousandths;
use crate::rule::rule;
use crate::vent::AirEnd;
use nalgebra::{Point3, Vector3};
use truefall_model::framing::space::WindowSpace;
use truefall_model::place::PartId;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// A vent ends so far to the side of each window that opens, or so far over its top.
    ///
    /// # Why
    ///
    /// What comes out of it is sewer gas.
    ///
    /// # Source
    ///
    /// The code's section on where vents end.
    ///
    /// # Limits
    ///
    /// Windows, doors and intakes are those the job lists under `windows`. Lot lines are not looked at. Level distance is
    /// to the nearest edge of the opening, through whatever stands between.
    ///
    /// # Example
    ///
    /// An end 6 ft beside a dormer's window and 2 ft over its top: 10 ft or 3 ft are needed.
    "vent-near-opening", Venting, Code,
    "a vent ends too near a window that opens",
    figures: ["vent-opening-away", "vent-opening-above"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (away, above) = (ctx.profile.figure("vent-opening-away"), ctx.profile.figure("vent-opening-above"));
    for (part, fixtures) in ctx.vents.ends(AirEnd::Roof) {
        let Some((end, _)) = over_roof(ctx, part) else { continue };
        let mut nearest: Option<(f64, Finding)> = None;
        for window in &ctx.rough_in.framed.windows {
            let (beside, over) = (beside(window, end), end.z - top(window));
            let (far, high) = (Limit::AtLeast(away.value), Limit::AtLeast(above.value));
            if far.allows(beside) || high.allows(over) {
                // Either is enough, so the better of the two tells how far it is from failing.
                let [by_side, by_height] =
                    [(far, beside), (high, over)].map(|(l, m)| l.share(l.margin(m)).unwrap_or(0.0));
                let spare = by_side.max(by_height);
                if ctx.passes && nearest.as_ref().is_none_or(|n| spare < n.0) {
                    let (figure, limit, measured) =
                        if by_side >= by_height { (away, far, beside) } else { (above, high, over) };
                    nearest = Some((spare, pass(ctx, part, end, window, figure, limit, measured)));
                }
                continue;
            }
            let what = format!(
                "the vent of {} ends {} beside {} and {} over its top; {} beside or {} over are needed",
                names(ctx, &fixtures),
                Length::inches(beside),
                window.label,
                Length::inches(over),
                away.length(),
                above.length()
            );
            out.push(
                Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, away.source())
                    .on([ctx.label(part), ctx.run_of(part), &window.label])
                    .at(end)
                    .measured(beside, far, "in")
                    .line(format!("beside the opening: {}, at least {}", thousandths(beside), away.value))
                    .line(format!("over its top: {}, at least {}", thousandths(over), above.value))
                    .help(format!(
                        "raise it {}, or move it {} away",
                        Length::inches(above.value - over),
                        Length::inches(away.value - beside)
                    )),
            );
        }
        out.extend(nearest.map(|n| n.1));
    }
}

/// A vent that ends far enough from an opening.
fn pass(
    ctx: &Ctx<'_>,
    part: PartId,
    end: Point3<f64>,
    window: &WindowSpace,
    figure: &Figure,
    limit: Limit,
    measured: f64,
) -> Finding {
    let way = if figure.key == "vent-opening-away" { "beside" } else { "over the top of" };
    let what = format!(
        "{} ends {} {way} {}, at least {}",
        ctx.run_of(part),
        Length::inches(measured),
        window.label,
        figure.length()
    );
    Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, figure.source())
        .on([ctx.label(part), ctx.run_of(part), &window.label])
        .at(end)
        .measured(measured, limit, "in")
}

/// Level distance from a point to an opening.
fn beside(window: &WindowSpace, point: Point3<f64>) -> f64 {
    let own = window.pose.inverse_transform_point(&point);
    let out = |at: f64, half: f64| (at.abs() - half).max(0.0);
    out(own.x, window.half.x).hypot(out(own.y, window.half.y))
}

fn top(window: &WindowSpace) -> f64 {
    (window.pose * Point3::from(Vector3::new(0.0, 0.0, window.half.z))).z
}
