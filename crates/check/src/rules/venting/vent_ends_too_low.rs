//! A vent that ends too near the roof, or in the snow.

use super::lines::names;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::thousandths;
use crate::rule::rule;
use crate::vent::AirEnd;
use nalgebra::Point3;
use truefall_model::place::PartId;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// A vent through the roof ends so far over it, measured at the high side of the pipe; where the job names a depth of
    /// snow, so far over the snow. Over a roof that the job says is walked on it ends higher than a man, and under a code that says so,
    /// higher where frost closes vents.
    ///
    /// # Why
    ///
    /// Water, leaves and snow that lie on the roof shut a low end.
    ///
    /// # Source
    ///
    /// The code's section on where vents end. One code leaves the number to the place that adopts it. Common practice is 12 in.
    ///
    /// # Limits
    ///
    /// The roof's planes are as the job gives them. That one code asks for the same height within 10 ft of a walked
    /// roof is not looked at: only the plane the vent goes through counts. What stands upright beside the end is
    /// `vent-near-upright`'s.
    ///
    /// # Example
    ///
    /// An end 5 in over the roof at the high side of the pipe: 6 are needed.
    "vent-ends-too-low", Venting, Code,
    "a vent ends too low over the roof or the snow",
    figures: ["vent-above-roof", "vent-above-walked", "vent-frost-from"],
    finds: ["vent-above-snow", "vent-above-frost"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let roof = ctx.profile.figure("vent-above-roof");
    let snow = ctx.job.house.snow_depth.zip(ctx.profile.find("vent-above-snow"));
    let walked = ctx.profile.figure("vent-above-walked");
    let cold = ctx.job.house.design_temperature_f;
    let frost = ctx
        .profile
        .find("vent-above-frost")
        .filter(|_| cold.is_some_and(|cold| cold <= ctx.profile.figure("vent-frost-from").value));
    for (part, fixtures) in ctx.vents.ends(AirEnd::Roof) {
        let Some((end, over)) = over_roof(ctx, part) else { continue };
        let mut asked = vec![(roof.value, roof)];
        asked.extend(snow.map(|(depth, figure)| (depth.to_inches() + figure.value, figure)));
        let is_walked = ctx.rough_in.framed.roof_over(end.x, end.y).is_some_and(|(plane, _)| plane.walked);
        asked.extend(is_walked.then_some((walked.value, walked)));
        asked.extend(frost.map(|figure| (figure.value, figure)));
        let Some((least, figure)) = asked.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
        let limit = Limit::AtLeast(least);
        let Some(verdict) = ctx.verdict(limit.margin(over), 0.0) else { continue };
        let what = format!(
            "the vent of {} ends {} over the roof, at least {}",
            names(ctx, &fixtures),
            Length::inches(over),
            Length::inches(least)
        );
        let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([ctx.label(part), ctx.run_of(part)])
            .at(end)
            .measured(over, limit, "in")
            .line(format!("over the roof at the high side of the pipe: {}", thousandths(over)));
        if let Some((depth, figure)) = snow {
            finding = finding.line(format!(
                "snow of {} and {} over it: {}",
                thousandths(depth.to_inches()),
                figure.value,
                thousandths(depth.to_inches() + figure.value)
            ));
        }
        if is_walked {
            finding = finding.line(format!("the roof is walked on: {}", walked.value));
        }
        if let Some(frost) = frost {
            finding = finding.line(format!("frost closes vents here: {}", frost.value));
        }
        out.push(finding.help(format!("leave the pipe {} longer", Length::inches(least - over))));
    }
}

/// The end of a vent and how far it is over the roof at the high side of the pipe.
pub(super) fn over_roof(ctx: &Ctx<'_>, part: PartId) -> Option<(Point3<f64>, f64)> {
    use truefall_model::place::PartKind;
    let PartKind::Piece { outside, .. } = ctx.rough_in.part(part).kind else { return None };
    let ends = [0, 1].map(|port| ctx.placed.stop(ctx.rough_in, part, port));
    let end = if ends[0].z > ends[1].z { ends[0] } else { ends[1] };
    let (roof, z) = ctx.rough_in.framed.roof_over(end.x, end.y)?;
    Some((end, end.z - (z + outside.to_inches() / 2.0 * roof.slope.abs())))
}
