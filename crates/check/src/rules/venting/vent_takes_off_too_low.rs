//! A vent that leaves a lying drain from its side or below.

use super::vent_runs_flat_too_low::drain_lies;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::Served;
use nalgebra::Vector3;

rule! {
    /// # What it checks
    ///
    /// A dry vent leaves a lying drain above its centre line: the branch is rolled so far up out of the level.
    ///
    /// # Why
    ///
    /// Waste that runs by fills an opening at its own height, and what it leaves there is never washed out.
    ///
    /// # Source
    ///
    /// The code's section on the connection of dry vents.
    ///
    /// # Limits
    ///
    /// The roll is measured about the drain's axis, where the vent leaves it; two degrees are let go, as a fitting is
    /// rolled by eye. A vent that goes straight on from the end of a drain has no roll and is left to
    /// `vent-runs-flat-too-low`. On a vertical drain there is nothing to look at.
    ///
    /// # Example
    ///
    /// A wye rolled to 30 degrees above level: 45 are needed.
    "vent-takes-off-too-low", Venting, Code,
    "a dry vent leaves a lying drain too low on its side",
    figures: ["vent-takeoff", "vent-vertical-give"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("vent-takeoff");
    let give = ctx.profile.figure("vent-vertical-give").value;
    for served in ctx.vents.served().iter().filter(|s| drain_lies(ctx, s)) {
        let Some(roll) = roll(ctx, served) else { continue };
        let Some(verdict) = ctx.verdict(Limit::AtLeast(figure.value).margin(roll + give), 0.0) else {
            continue;
        };
        // What is let go for the eye is part of the limit of what passes.
        let limit = Limit::AtLeast(figure.value - if verdict == Verdict::Pass { give } else { 0.0 });
        let fitting = ctx.label(served.way.from);
        let fixture = ctx.fixture(served.trap.fixture);
        let what = format!(
            "the vent of {fixture} leaves its drain at {fitting} {roll:.0}° above level, at least {}°",
            figure.value
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([fixture, fitting])
                .at(ctx.placed.origin(served.way.from))
                .measured(roll, limit, "deg")
                .line(format!("about the drain's axis the branch is {roll:.2}° above level"))
                .help(format!("roll {fitting} up by {:.0}° or more", figure.value - roll)),
        );
    }
}

/// Degrees that the vent's port is rolled above level about the drain's axis; none where it goes on in the drain's line.
fn roll(ctx: &Ctx<'_>, served: &Served<'_>) -> Option<f64> {
    let joint = ctx.rough_in.network.down[served.way.from.0 as usize]?;
    let (part, port) = ctx.rough_in.joint(joint).high;
    let drain = ctx.placed.axis(ctx.rough_in, part, port);
    let vent = ctx.placed.axis(ctx.rough_in, served.way.from, served.way.port);
    let square = |v: Vector3<f64>| v - drain * v.dot(&drain);
    let (side, up) = (square(vent).try_normalize(0.05)?, square(Vector3::z()).try_normalize(1e-9)?);
    Some(side.dot(&up).clamp(-1.0, 1.0).asin().to_degrees())
}
