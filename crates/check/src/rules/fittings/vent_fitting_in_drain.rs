//! A fitting made for air only that carries waste.

use crate::ctx::Ctx;
use crate::cure::fit::swaps;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use truefall_model::catalog::family::Family;

rule! {
    /// # What it checks
    ///
    /// No vent tee or vent ell carries waste, not even straight through its run.
    ///
    /// # Why
    ///
    /// Vent patterns have square corners and no pitch. Waste catches in them.
    ///
    /// # Source
    ///
    /// Our own rule. The drainage-pattern standard makes these fittings for dry vents; codes ask for drainage patterns in
    /// drains.
    ///
    /// # Limits
    ///
    /// A drainage pattern in a vent is no fault. What is wet is told from the fixtures of the job.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A vent tee stands in a lavatory's arm because its legs were short enough to fit: tagged.
    "vent-fitting-in-drain", Fittings,
    House("vent patterns have no sweep and no pitch, and are made for dry vents only"),
    "a vent fitting carries waste",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for part in ctx.rough_in.parts.iter().filter(|part| ctx.is_wet(part.id)) {
        let Some(pattern) = part.pattern().filter(|p| p.dry_only) else { continue };
        let what = format!("{} ({}) carries waste and is made for dry vents only", part.label, pattern.name);
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
                .on([&part.label, &ctx.rough_in.run(part.run).label])
                .at(ctx.placed.origin(part.id))
                .help("put the drainage pattern there: a sanitary tee, a wye or a 1/4 bend; its legs are longer")
                .cure(swaps(ctx, part.id, drainage(pattern.family))),
        );
    }
}

/// The drainage patterns that may serve in the place of a vent's.
fn drainage(family: Family) -> &'static [Family] {
    match family {
        Family::VentTee => &[Family::SanitaryTee, Family::Combination, Family::Wye],
        _ => &[Family::QuarterBend, Family::LongTurnQuarterBend],
    }
}
