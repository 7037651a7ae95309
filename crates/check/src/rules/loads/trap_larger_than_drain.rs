//! A trap larger than the drain it feeds.

use super::trap_too_small::{Known, trap_size};
use crate::arm::arms;
use crate::ctx::Ctx;
use crate::drain::{Drain, drains};
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// No part of a trapped fixture's own drain, from its trap down to where another fixture's waste joins, is smaller than the
    /// trap.
    ///
    /// # Why
    ///
    /// A drain smaller than its trap can't take what the trap passes: it fills, and siphons the trap.
    ///
    /// # Source
    ///
    /// The code's section on the size of traps.
    ///
    /// # Limits
    ///
    /// Nominal sizes are compared. A trap hung at finish is looked at where the job says how large it is. A drain that
    /// shrinks farther down is `drain-shrinks-downstream`'s.
    ///
    /// # Example
    ///
    /// A 2 in shower trap on a bushing into 1-1/2 in pipe: tagged.
    "trap-larger-than-drain", Loads, Code,
    "a trap is larger than the drain it feeds",
    figures: ["trap-over-drain"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains = drains(ctx);
    for (fixture, trap) in traps(ctx) {
        if let Some(drain) = smaller(drains, fixture, trap) {
            out.push(tell(ctx, Verdict::RedTag, fixture, trap, drain));
        } else if ctx.passes {
            let own = drains.iter().filter(|d| d.fixtures == [fixture]).min_by_key(|d| d.size);
            out.extend(own.map(|drain| tell(ctx, Verdict::Pass, fixture, trap, drain)));
        }
    }
}

fn tell(ctx: &Ctx<'_>, verdict: Verdict, fixture: usize, trap: NominalSize, drain: &Drain) -> Finding {
    let figure = ctx.profile.figure("trap-over-drain");
    let name = &ctx.job.fixtures[fixture].name;
    let over = trap.nominal() - drain.size.nominal();
    let leg = ctx.leg_name(drain.leg);
    let what = format!("the {trap} in trap of {name} drains through {leg}, which is {} in", drain.size);
    let labels: Vec<_> = std::iter::once(name).chain(ctx.leg_labels(drain.leg)).collect();
    let (low, high) = ctx.rough_in.leg_ends(ctx.placed, drain.leg);
    Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on(labels)
        .at(nalgebra::center(&low, &high))
        .measured(over.to_inches(), Limit::AtMost(figure.value), "in")
        .line(format!("trap {trap} in, its drain {} in: {} less", drain.size, over))
        .help(format!(
            "run its drain in {trap} in pipe, or use a {} in trap if its fixture may have one",
            drain.size
        ))
}

/// Fixtures with a trap whose size is known, and that size.
pub(super) fn traps(ctx: &Ctx<'_>) -> Vec<(usize, NominalSize)> {
    arms(ctx)
        .iter()
        .map(|arm| (arm.fixture, trap_size(ctx, arm)))
        .filter(|(_, (_, known))| *known != Known::AtMost)
        .map(|(fixture, (size, _))| (fixture, size))
        .collect()
}

/// The first part of a fixture's own drain, from the trap down, that is smaller than its trap.
pub(super) fn smaller(drains: &[Drain], fixture: usize, trap: NominalSize) -> Option<&Drain> {
    drains.iter().rev().find(|d| d.fixtures == [fixture] && d.size < trap)
}
