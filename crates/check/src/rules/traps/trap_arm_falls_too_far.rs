//! A trap arm that falls so far that the vent's opening is below the trap's weir.

use super::trap_arm_too_long::length_sum;
use crate::arm::arms;
use crate::arm_shape::{low_entry, turns_down};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::{against, enough};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// From the trap's weir to the vent's inner edge a trap arm falls no more than its own pipe size.
    ///
    /// # Why
    ///
    /// Past that the vent's opening lies below the weir, water fills the arm's upper end, and the trap is siphoned.
    ///
    /// # Source
    ///
    /// The code's limit on the fall of a fixture drain to its vent.
    ///
    /// # Limits
    ///
    /// The fall is the centre line's, from over the weir to under the vent's inner edge. Nominal size is taken as the diameter,
    /// the stricter reading. Closets are exempt and not measured. The vent is found as `trap-arm-too-long` finds it. An arm
    /// that turns down is `trap-arm-drops`'s, a wye or combination on the vent's vertical `vent-drops-below-weir`'s. A
    /// fall over the limit by less than the survey's error is a question.
    ///
    /// # Example
    ///
    /// A 1-1/2 in tub arm of 5 ft at 1/2 in per ft falls 2-1/2 in: tagged, though it is short enough.
    "trap-arm-falls-too-far", Traps, Code,
    "a trap arm falls more than its own size before its vent",
    figures: ["trap-arm-fall", "trap-arm-turn-down"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("trap-arm-fall");
    for arm in arms(ctx) {
        let Some(vent) = &arm.vent else { continue };
        if low_entry(ctx, arm).is_some() || turns_down(ctx, arm).is_some() {
            continue;
        }
        let name = &ctx.job.fixtures[arm.fixture].name;
        let most = arm.size.nominal() * figure.value;
        let (fall, error) = (arm.fall(), arm.fall_error());
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(fall.to_inches()), error.to_inches()) else { continue };
        let doubt = if verdict == Verdict::Ask {
            format!(": known to {:.3} in, too near to tell", error.to_inches())
        } else {
            String::new()
        };
        let [reads, at_most] = against(fall, most);
        let what = format!(
            "the {} in trap arm of {name} falls {reads} to its vent, at most {at_most}{doubt}",
            arm.size
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(arm.trap), ctx.label(vent.fitting)])
                .at(vent.edge)
                .measured(fall.to_inches(), limit, "in")
                .known_to(error.to_inches())
                .lines(length_sum(ctx, arm, vent))
                .line(format!(
                    "falls {:.3} in, at most {} x {} in = {:.3}",
                    fall.to_inches(),
                    figure.value,
                    arm.size,
                    most.to_inches()
                ))
                .help(format!(
                    "lay it {} flatter over its length, or bring the vent nearer",
                    enough(fall - most)
                )),
        );
    }
}
