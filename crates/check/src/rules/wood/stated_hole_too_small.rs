//! A hole stated in the job that the part does not pass.

use crate::bore::Bit;
use crate::bore::telling::{Told, decimal};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::source::Source;

rule! {
    /// # What it checks
    /// A hole the job states against the outside of the thickest part that has to go through it.
    ///
    /// # Why
    /// The hub in the wood, not the pipe, is often what has to pass.
    ///
    /// # Source
    /// Our own; it is plain measure.
    ///
    /// # Limits
    /// Other rules then reckon with the usual hole instead. A hole exactly as wide as the part passes here, though no pipe
    /// slides through it.
    ///
    /// # Example
    /// A 2 in hole is stated for 1-1/2 in pipe, but a hub of 2.250 in sits in the stud.
    "stated-hole-too-small", Wood, House("the thickest part in a hole has to pass it"),
    "a hole stated in the job does not pass the part in it",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for told in Told::each(ctx, |_| true) {
        let drilled = told.bore.drilled;
        let kept = || (ctx.passes && drilled.bit == Bit::Stated).then_some(drilled.hole);
        let Some(stated) = drilled.refused.or_else(kept) else { continue };
        let outside = told.bore.outside;
        let (verdict, passes) = match drilled.refused {
            Some(_) => (Verdict::RedTag, "does not pass"),
            None => (Verdict::Pass, "passes"),
        };
        let what = format!(
            "the hole of {stated} stated for {} in {} {passes} the {} of {}",
            told.run(),
            told.member.label,
            told.passes(),
            decimal(outside)
        );
        out.push(
            told.finding(RULE.id, verdict, what, Source::house("the thickest part in a hole has to pass it"))
                .measured(stated.to_inches(), Limit::AtLeast(outside.to_inches()), "in")
                .help(format!("the usual hole for it is {}", told.bore.drilled.hole)),
        );
    }
}
