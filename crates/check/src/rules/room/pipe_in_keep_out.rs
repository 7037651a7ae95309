//! A part in space that is taken.

use crate::bore::telling::{decimal, part_name};
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use crate::source::Source;

rule! {
    /// # What it checks
    /// New parts against the boxes the job keeps free, such as windows, ducts, cabinets and electrical boxes.
    ///
    /// # Why
    /// What is there already does not move for a drain.
    ///
    /// # Source
    /// Our own; the job says what is kept free.
    ///
    /// # Limits
    /// A keep-out is a box, at most 1/64 in of overlap counts as a touch, and no clearance around it is asked for.
    /// How near a pipe comes to what it misses is not measured, so no pass is told.
    ///
    /// # Example
    /// A vent goes straight up behind a cabinet let into the wall and enters its back.
    "pipe-in-keep-out", Room, House("the job says what is kept free"),
    "a part is in space that is taken",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for clash in &ctx.facts.keep_out_clashes {
        let Some(keep_out) = ctx.rough_in.framed.keep_outs.get(clash.keep_out) else { continue };
        let (name, depth) = (part_name(ctx, clash.part), decimal(clash.depth));
        let source = Source::house("the job says what is kept free");
        let kind = keep_out.kind.to_string();
        // A cabinet that is called "medicine cabinet" is not the cabinet medicine cabinet.
        let kind = if keep_out.label.as_str().ends_with(&kind) { String::new() } else { format!("{kind} ") };
        let what = format!("{name} is {depth} in deep in the {kind}{}", keep_out.label);
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, source)
                .on([&keep_out.label, ctx.label(clash.part)])
                .at(clash.at)
                .reading(clash.depth.to_inches(), "in")
                .line(format!("shortest way out {depth}"))
                .help(format!("move it at least {depth} in")),
        );
    }
}
