//! A vent that stands too near to the trap.

use super::trap_arm_too_long::length_sum;
use crate::arm::arms;
use crate::arm_shape::turns_down;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::{against, enough};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// From a trap's weir to the inner edge of its vent the arm is at least two diameters long.
    ///
    /// # Why
    ///
    /// A vent on the trap's crown is splashed and grows shut.
    ///
    /// # Source
    ///
    /// The code's least distance from weir to vent.
    ///
    /// # Limits
    ///
    /// Nominal size is taken as the diameter. The length is level, along the centre line, as `trap-arm-too-long`
    /// measures it. An arm that turns down is told by `trap-arm-drops` alone. A trap hung at finish is taken where the
    /// fixture's figures put it.
    ///
    /// # Example
    ///
    /// A 2 in trap pushed into a wye with short legs has its vent 3-1/2 in from the weir: 4 are needed.
    "trap-arm-too-short", Traps, Code,
    "a vent is nearer to a trap's weir than two diameters",
    figures: ["trap-arm-min-diameters"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("trap-arm-min-diameters");
    for arm in arms(ctx) {
        let Some(vent) = &arm.vent else { continue };
        let (length, least) = (arm.length(), arm.size.nominal() * figure.value);
        let limit = Limit::AtLeast(least.to_inches());
        if turns_down(ctx, arm).is_some() {
            continue;
        }
        let Some(verdict) = ctx.verdict(limit.margin(length.to_inches()), 0.0) else { continue };
        let name = &ctx.job.fixtures[arm.fixture].name;
        let [reads, needs] = against(length, least);
        let what = format!(
            "the {} in trap arm of {name} is {reads} from weir to vent, needs at least {needs}",
            arm.size
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(arm.trap), ctx.label(vent.fitting)])
                .at(vent.edge)
                .measured(length.to_inches(), limit, "in")
                .lines(length_sum(ctx, arm, vent))
                .line(format!("at least {} x {} in = {:.3}", figure.value, arm.size, least.to_inches()))
                .help(format!("move the trap {} farther from the vent", enough(least - length))),
        );
    }
}
