//! A drain that gets smaller on its way down.

use super::trap_larger_than_drain::{smaller, traps};
use crate::arm::leg_down;
use crate::ctx::Ctx;
use crate::drain::{carried, drains, too_small_for};
use crate::finding::{Finding, Limit, Verdict};
use crate::load::names;
use crate::rule::rule;
use std::collections::BTreeMap;
use truefall_model::catalog::family::Family;
use truefall_model::place::{Part, PartId, RunId};
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// At no fitting does waste come in by a larger port than the one it leaves by on its way down.
    ///
    /// # Why
    ///
    /// Where a drain gets smaller, what came that far stops.
    ///
    /// # Source
    ///
    /// The code's section on drains in the direction of flow.
    ///
    /// # Limits
    ///
    /// Nominal sizes are compared, fitting by fitting; a 4x3 closet bend or flange is no reduction. Vents may shrink. A trap larger
    /// than its own drain is `trap-larger-than-drain`'s, pipe too small for a fixture `drain-too-small-for-fixture`'s. Existing pipe below the base is not seen.
    ///
    /// # Example
    ///
    /// A 3 in branch enters a 2 in stack through a reducer: tagged at the reducer.
    "drain-shrinks-downstream", Loads, Code,
    "a drain gets smaller on its way down",
    figures: ["drain-shrink"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("drain-shrink");
    let carried = carried(ctx);
    let drains = drains(ctx);
    let traps = traps(ctx);
    let mut nearest: BTreeMap<RunId, (f64, Finding)> = BTreeMap::new();
    for part in &ctx.rough_in.parts {
        let Some((from, to)) = sizes(ctx, part.id) else { continue };
        if from <= to {
            let grows = to.nominal().to_inches() - from.nominal().to_inches();
            if ctx.passes && nearest.get(&part.run).is_none_or(|(least, _)| grows < *least) {
                nearest.insert(part.run, (grows, pass(ctx, part, from, to)));
            }
            continue;
        }
        let fixtures = &carried[part.id.0 as usize];
        let of_trap = |(fixture, trap): &(usize, NominalSize)| {
            fixtures == &[*fixture] && smaller(drains, *fixture, *trap).is_some()
        };
        let below = leg_down(ctx.rough_in, part.id).map(|leg| leg.id);
        let told_below = drains.iter().any(|d| Some(d.leg) == below && too_small_for(ctx, d).is_some());
        if told_below || traps.iter().any(of_trap) {
            continue;
        }
        let less = from.nominal() - to.nominal();
        let what = format!("waste comes to {} in {from} in pipe and goes on in {to} in", part.label);
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, figure.source())
                .on([&part.label, &ctx.rough_in.run(part.run).label])
                .at(ctx.placed.origin(part.id))
                .measured(less.to_inches(), Limit::AtMost(figure.value), "in")
                .line(format!("it carries {}", names(ctx, fixtures)))
                .line(format!("{from} in comes in, {to} in leads down: {less} less"))
                .help(format!("run it in {from} in pipe from {} down", part.label)),
        );
    }
    out.extend(nearest.into_values().map(|(_, finding)| finding));
}

/// Of a run's fittings that go on as large or larger, the one with the least to spare.
fn pass(ctx: &Ctx<'_>, part: &Part, from: NominalSize, to: NominalSize) -> Finding {
    let figure = ctx.profile.figure("drain-shrink");
    let less = from.nominal().to_inches() - to.nominal().to_inches();
    let what = format!("waste comes to {} in {from} in pipe and goes on in {to} in", part.label);
    Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, figure.source())
        .on([&part.label, &ctx.rough_in.run(part.run).label])
        .at(ctx.placed.origin(part.id))
        .measured(less, Limit::AtMost(figure.value), "in")
}

/// The size waste comes to a fitting in and the one it leaves it by.
fn sizes(ctx: &Ctx<'_>, part: PartId) -> Option<(NominalSize, NominalSize)> {
    let rough_in = ctx.rough_in;
    let family = rough_in.part(part).pattern()?.family;
    if matches!(family, Family::ClosetBend | Family::ClosetFlange | Family::SpigotClosetFlange) {
        return None;
    }
    let ports = rough_in.part(part).ports();
    let down = rough_in.joint(rough_in.network.down[part.0 as usize]?).high.1;
    let to = ports[down].size;
    let wet = rough_in.network.above(part).filter(|(_, above)| ctx.is_wet(*above));
    let from = wet.map(|(joint, _)| ports[rough_in.joint(joint).low.1].size).max()?;
    Some((from, to))
}
