//! A fixture no run ends at.

use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// Each fixture of the job is the end of a stack or branch.
    ///
    /// # Why
    ///
    /// A fixture without a drain is a run forgotten, and nothing about it could be looked at: no trap, no vent, no load.
    ///
    /// # Source
    ///
    /// Our own rule.
    ///
    /// # Limits
    ///
    /// A fixture that keeps its old drain is told too; leave it out of the job or draw its drain. That what ends at it comes out
    /// where it should is `misfit-at-fixture`'s.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// The laundry tub is listed and no branch has it as its end: not checked.
    "fixture-not-drained", Network,
    House("what nothing drains could not be looked at"),
    "no run ends at a fixture",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for (index, fixture) in ctx.job.fixtures.iter().enumerate() {
        if ctx.rough_in.runs.iter().any(|run| run.fixture == Some(index)) {
            continue;
        }
        let name = &fixture.name;
        let what = format!("nothing drains {name}: no run ends at it");
        out.push(
            Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, RULE.source())
                .on([name])
                .help(format!("give a branch the end Fixture(name: \"{name}\")")),
        );
    }
}
