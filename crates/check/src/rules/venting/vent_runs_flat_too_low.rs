//! A dry vent that lies level below where waste may stand.

use super::lines::rim_line;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::thousandths;
use crate::rule::rule;
use crate::vent::{Method, Served, Span};
use truefall_model::job::fixture::FixtureKind;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// A dry vent rises within 45 degrees of plumb until it is so far over the flood level of the fixture it serves. Only
    /// from there it may lie level.
    ///
    /// # Why
    ///
    /// When the drain backs up, waste runs into a vent that lies low and stays there; nothing washes it out, and the vent
    /// closes unseen.
    ///
    /// # Source
    ///
    /// The code's section on level dry vents. One code lets the official accept it lower where the structure leaves no other
    /// way; then it asks.
    ///
    /// # Limits
    ///
    /// The height is that of the centre line where it is lowest. The length right at the fitting is left to
    /// `vent-takes-off-too-low` where the drain lies. Rims the job does not give are usual ones. A vent with a 45 may be
    /// two degrees flatter, as fittings come. An island's loop is exempt.
    ///
    /// # Example
    ///
    /// A tub's vent that leaves the floor and runs level to the next wall: its rim is 15 in up, and 21 are needed.
    "vent-runs-flat-too-low", Venting, Code,
    "a dry vent lies level below its fixture's rim",
    figures: ["vent-flat-over-rim", "vent-vertical-within", "vent-vertical-give"],
    finds: ["vent-flat-lower"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let over = ctx.profile.figure("vent-flat-over-rim");
    let steep = 90.0
        - ctx.profile.figure("vent-vertical-within").value
        - ctx.profile.figure("vent-vertical-give").value;
    let mut told: Vec<(truefall_model::place::PartId, f64)> = Vec::new();
    for served in ctx.vents.served() {
        let island = served.trap.vent.as_ref().is_some_and(|v| v.method == Method::Island);
        let Some((fixture, rim)) = ctx.highest_rim(&served.fixtures).filter(|_| !island) else { continue };
        let spans = served.way.spans(ctx.rough_in, ctx.placed);
        let skip = usize::from(drain_lies(ctx, &served));
        let low = |s: &Span| s.low.z.min(s.high.z);
        let lies = |s: &&Span| s.degrees().abs() < steep && s.level().to_inches() > 0.1;
        let limit = Limit::AtLeast(over.value);
        let worst = spans
            .iter()
            .skip(skip)
            .filter(lies)
            .filter(|s| ctx.passes || !limit.allows(low(s) - rim.z))
            .min_by(|a, b| low(a).total_cmp(&low(b)));
        let Some(span) = worst else {
            out.extend(
                upright(ctx, &served, spans.get(skip..).unwrap_or_default(), steep).filter(|_| ctx.passes),
            );
            continue;
        };
        // A length that several vents share is told for the first of them.
        if told.iter().any(|(part, _)| *part == span.to) {
            continue;
        }
        told.push((span.to, rim.z));
        let height = low(span) - rim.z;
        let verdict = match ctx.profile.find("vent-flat-lower") {
            _ if limit.allows(height) => Verdict::Pass,
            Some(_) => Verdict::Ask,
            None => Verdict::RedTag,
        };
        let place = if height < 0.0 {
            format!("{} below", Length::inches(-height))
        } else {
            format!("{} over", Length::inches(height))
        };
        let needed = if ctx.job.fixtures[fixture].kind == FixtureKind::FloorDrain { "grate" } else { "rim" };
        let what = format!(
            "the vent of {} runs {} to {}, {place} the {needed}; level it may lie from {} over it",
            ctx.fixture(fixture),
            lay(span.degrees()),
            ctx.label(span.to),
            over.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, over.source())
                .on([ctx.fixture(fixture), ctx.run_of(span.to), ctx.label(span.to)])
                .at(span.low)
                .measured(height, limit, "in")
                .line(rim_line(ctx, fixture, rim))
                .line(format!("the vent's centre line is at {} where it lies", thousandths(low(span))))
                .line(format!(
                    "{} - {} = {}",
                    thousandths(low(span)),
                    thousandths(rim.z),
                    thousandths(height)
                ))
                .line(format!("{:.1}° above level; {steep}° and more counts as rising", span.degrees()))
                .help(format!(
                    "rise {} higher before it turns, or offset it by 45s",
                    Length::inches(over.value - height)
                )),
        );
    }
}

/// How a vent lies, as one says it: level where only its fall tells it from level.
fn lay(degrees: f64) -> String {
    if degrees.abs() < LEVEL_WITHIN { "level".to_owned() } else { format!("flat, at {degrees:.0}°,") }
}

/// Pipe at up to 1/2 in per ft, 2.4 degrees, is called level.
const LEVEL_WITHIN: f64 = 2.5;

/// A vent that lies nowhere: how steep it is where it is least so.
fn upright(ctx: &Ctx<'_>, served: &Served<'_>, spans: &[Span], steep: f64) -> Option<Finding> {
    let long = spans.iter().filter(|s| s.length().to_inches() > 0.1);
    let least = long.min_by(|a, b| a.degrees().abs().total_cmp(&b.degrees().abs()))?;
    let degrees = least.degrees().abs();
    let (fixture, figure) = (ctx.fixture(served.trap.fixture), ctx.profile.figure("vent-vertical-within"));
    let what = format!(
        "the vent of {fixture} lies nowhere: to {} it rises at {degrees:.0}°, level is under {steep}°",
        ctx.label(least.to)
    );
    let limit = Limit::AtLeast(steep);
    let finding = Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, figure.source());
    limit.allows(degrees).then(|| {
        finding
            .on([fixture, ctx.run_of(least.to), ctx.label(least.to)])
            .at(least.low)
            .measured(degrees, limit, "deg")
    })
}

/// Whether the drain at the fitting a vent leaves lies.
pub(super) fn drain_lies(ctx: &Ctx<'_>, served: &Served<'_>) -> bool {
    let Some(joint) = ctx.rough_in.network.down[served.way.from.0 as usize] else { return false };
    let (part, port) = ctx.rough_in.joint(joint).high;
    ctx.placed.axis(ctx.rough_in, part, port).z.abs() < std::f64::consts::FRAC_1_SQRT_2
}
