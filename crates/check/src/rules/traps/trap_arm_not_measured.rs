//! A trap arm that could not be measured: no vent was found.

use crate::arm::arms;
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// Every trap has a vent between it and the base, so that its arm can be measured.
    ///
    /// # Why
    ///
    /// A trap without a vent loses its seal, and what could not be measured must not pass in silence.
    ///
    /// # Source
    ///
    /// Our own rule. Codes ask that every trap be vented; which ways of venting count is not looked at here.
    ///
    /// # Limits
    ///
    /// A vent that is not part of the job is not seen, such as one in the existing work below the base. What the job leaves
    /// out about the far end of a vent is taken as no air: give it an end through the roof, at a tie or at a valve. A
    /// fixture without a trap is told by `trap-missing`.
    ///
    /// # Example
    ///
    /// A floor drain's branch joins a lying drain that has no vent on the way to the base: not checked.
    "trap-arm-not-measured", Traps,
    House("what could not be measured is told"),
    "a trap arm has no vent to be measured to",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for arm in arms(ctx).into_iter().filter(|arm| arm.vent.is_none()) {
        let name = &ctx.job.fixtures[arm.fixture].name;
        let what = format!(
            "no vent was found between the trap of {name} and the base; its trap arm was not measured"
        );
        let mut finding = Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, RULE.source())
            .on([name])
            .at(arm.weir);
        for step in &arm.steps {
            finding = finding.line(format!("to {}: nothing there leads up to open air", ctx.label(step.to)));
        }
        out.push(finding.help("vent it within its arm's length, and give the vent an end in the job"));
    }
}
