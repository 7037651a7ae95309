//! A correction that asks more of a joint than it may stand at.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::job::Placement;
use truefall_model::place::Trouble;

rule! {
    /// # What it checks
    ///
    /// Where a lean is taken out at a joint, or a stack is drawn over to a brace, the joint that gives stands no farther out
    /// of line than its kind may for good.
    ///
    /// # Why
    ///
    /// Past that the gasket or sleeve no longer seals all round. A glued joint does not give at all.
    ///
    /// # Source
    ///
    /// Our own rule; the angle is the catalog's, by kind of joint, and most of them are from memory: the maker's sheet decides.
    ///
    /// # Limits
    ///
    /// Only the found placement has corrections. What the pipe itself bends between restraints is not looked at.
    /// Joints that stand at what they are asked are not listed, so no pass is told.
    ///
    /// # Example
    ///
    /// A stack that leans 1/2 in per ft is plumbed at the gasket in the iron hub: that is 2.4 degrees. At a glued joint it
    /// is tagged.
    "joint-over-deflected", Fittings,
    House("a joint out of line past what it is made for leaks"),
    "a correction turns a joint more than it may stand at",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.placement() != Placement::Found {
        return;
    }
    for trouble in &ctx.rough_in.troubles {
        let Trouble::Correction { joint, asks, limit } = trouble else { continue };
        let sides = ctx.rough_in.joint(*joint);
        let what =
            format!("{} is turned {asks} by the correction, may stand at {limit}", ctx.joint_name(*joint));
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
                .on([ctx.label(sides.low.0), ctx.label(sides.high.0)])
                .at(ctx.placed.stop(ctx.rough_in, sides.high.0, sides.high.1))
                .measured(asks.to_degrees(), Limit::AtMost(limit.to_degrees()), "deg")
                .line(format!("{} - {} = {} over", asks, limit, *asks - *limit))
                .line(format!("a turn of {asks} is {:.3} in per ft", asks.to_radians().tan() * 12.0))
                .help("make the correction at a joint that gives, such as a gasket or a shielded coupling, or share it between two"),
        );
    }
}
