//! Two parts in the same space.

use crate::bore::telling::{decimal, part_name};
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use crate::source::Source;

rule! {
    /// # What it checks
    /// Two parts that are not joined, nor joined to one and the same third, and overlap by more than 1/64 in. Existing
    /// pipe is held against new parts.
    ///
    /// # Why
    /// Pipes that cross on paper meet in the wall.
    ///
    /// # Source
    /// Our own; two solid things don't share a space.
    ///
    /// # Limits
    /// Bends are checked by straight pieces that enclose them, at most 1/32 in too large: a gap under that may be told as a
    /// touch. Only existing pipe that the job names is known. Room for a wrench, a clamp or insulation is not asked for.
    /// How near two pipes come that miss each other is not measured, so no pass is told.
    ///
    /// # Example
    /// The lavatory's vent crosses the tub's drain with its axis 2 in over the drain's, both 2 in pipe of 2.375 in.
    "pipe-against-pipe", Room, House("two solid things don't share a space"),
    "two parts are in the same space",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for clash in &ctx.facts.pipe_clashes {
        let (one, other, depth) =
            (part_name(ctx, clash.one), part_name(ctx, clash.other), decimal(clash.depth));
        let source = Source::house("two solid things don't share a space");
        let what = format!("{one} is {depth} in deep in {other}");
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, source)
                .on([ctx.label(clash.one), ctx.label(clash.other)])
                .at(clash.at)
                .reading(clash.depth.to_inches(), "in")
                .line(format!("shortest way apart {depth}"))
                .help(format!("move one of them at least {depth} in")),
        );
    }
}
