//! A corner that the fitting put there does not make.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::place::Trouble;

rule! {
    /// # What it checks
    ///
    /// Where points on the plan say which way a run goes on, the fitting at the corner turns as far as they ask.
    ///
    /// # Why
    ///
    /// Bends come in fixed angles. A corner that lies between two of them is not built, and what lies beyond it lands
    /// elsewhere than on paper.
    ///
    /// # Source
    ///
    /// Our own rule: geometry. The angles are those of the catalog's patterns.
    ///
    /// # Limits
    ///
    /// Up to the angle its joints can be set to, a corner counts as made. It does not look for bends that together make
    /// the turn.
    /// What a corner that is made lacks is not known, so no pass is told.
    ///
    /// # Example
    ///
    /// Points that ask for a turn of 70 degrees at a 1/4 bend are tagged: a 1/8 and a 1/16 bend make 67.5.
    "corner-not-made", Fittings,
    House("bends come in fixed angles"),
    "a corner asks for a turn that its fitting does not make",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for trouble in &ctx.rough_in.troubles {
        let Trouble::Corner { part, needs, makes } = trouble else { continue };
        let label = ctx.label(*part);
        let off = (*needs - *makes).abs();
        out.push(
            Finding::new(
                RULE.id,
                Verdict::RedTag,
                ctx.placement(),
                format!("{label} would have to turn {needs} to reach the next point, turns {makes}"),
                RULE.source(),
            )
            .on([label, &ctx.rough_in.run(ctx.rough_in.part(*part).run).label])
            .at(ctx.placed.origin(*part))
            .measured(needs.to_degrees(), Limit::Between(makes.to_degrees(), makes.to_degrees()), "deg")
            .line(format!("{needs} - {makes}: {off} off"))
            .help("move the point so that the corner is the bend's own, or make the turn of two bends"),
        );
    }
}
