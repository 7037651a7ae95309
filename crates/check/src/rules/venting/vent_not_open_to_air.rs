//! A rough-in whose vents all end in valves.

use super::lines::names;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::AirEnd;
use std::collections::BTreeSet;

rule! {
    /// # What it checks
    ///
    /// Where the job gives the house's roof, at least one vent goes through it.
    ///
    /// # Why
    ///
    /// Valves only let air in: when waste pushes air ahead of it, or the sewer breathes out, it must get out somewhere other
    /// than through a trap.
    ///
    /// # Source
    ///
    /// The code's rule that each building drain has a vent to the open air.
    ///
    /// # Limits
    ///
    /// The drain the job stands on may have such a vent elsewhere; so this asks. A job that gives no roof says nothing of
    /// what the house has above, and nothing is asked. Which fixtures have no vent at all is told by `trap-not-vented`.
    ///
    /// # Example
    ///
    /// A bath and a kitchen, each on an air admittance valve, under a roof that no vent goes through.
    "vent-not-open-to-air", Venting, Code,
    "no vent goes to the open air",
    figures: ["vents-to-open-air"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let valves = ctx.vents.ends(AirEnd::Valve);
    let figure = ctx.profile.figure("vents-to-open-air");
    let open = ctx.vents.ends(AirEnd::Roof);
    if let Some(first) = open.keys().next().filter(|_| ctx.passes) {
        let what =
            format!("{} of the job's vents go through the roof, at least {}", open.len(), figure.value);
        out.push(
            Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, figure.source())
                .on(open.keys().map(|p| ctx.label(*p)))
                .at(ctx.placed.origin(*first))
                .measured(open.len() as f64, Limit::AtLeast(figure.value), "count"),
        );
    }
    let is_open = ctx.vents.air.ends.values().any(|(end, _)| *end == AirEnd::Roof);
    if ctx.job.house.roof.is_empty() || is_open || valves.is_empty() {
        return;
    }
    let fixtures: BTreeSet<usize> = valves.values().flatten().copied().collect();
    let what = format!("no vent goes through the roof; those of {} end in valves", names(ctx, &fixtures));
    let parts: Vec<_> = valves.keys().copied().collect();
    out.push(
        Finding::new(RULE.id, Verdict::Ask, ctx.placement(), what, figure.source())
            .on(parts.iter().map(|p| ctx.label(*p)))
            .at(ctx.placed.origin(parts[0]))
            .help(
                "find the vent to the open air that this drain has elsewhere, or take one through the roof",
            ),
    );
}
