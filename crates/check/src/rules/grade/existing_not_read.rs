//! Existing work that was not measured.

use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use truefall_model::place::{RunKind, Trouble};

rule! {
    /// # What it checks
    ///
    /// What a stack stands on was measured: plumb strings on a standing pipe, a level on a lying one.
    ///
    /// # Why
    ///
    /// Existing work is not plumb and not on grade until somebody reads that it is. Everything above it turns with it.
    ///
    /// # Source
    ///
    /// Our own rule.
    ///
    /// # Limits
    ///
    /// It can't tell a careful reading from a guess. Until it is read, both placements take the pipe as plumb or level.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A new stack on an iron hub without a plumb string: not checked, with what to read.
    "existing-not-read", Grade,
    House("existing work is never assumed to be plumb or on grade"),
    "existing work was not measured",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for trouble in &ctx.rough_in.troubles {
        let Trouble::Unread { stack, measure } = trouble else { continue };
        let what =
            format!("what stack {stack} stands on was not measured; grades and misfits as found are unknown");
        let mut finding =
            Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, RULE.source()).on([stack]);
        let run = ctx.rough_in.runs.iter().find(|run| run.label == *stack);
        if let Some(RunKind::Stack { base, .. }) = run.map(|run| &run.kind) {
            finding = finding.at(ctx.placed.origin(*base));
        }
        out.push(finding.help(measure.clone()));
    }
}
