//! A hole that leaves too little wood to a joist's top or bottom.

use super::joist_bore_too_large::fits;
use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_solid_joist, short};
use crate::ctx::Ctx;
use crate::cure::fit::bore_to_the_middle;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// The wood left between a hole and the nearer of the top and bottom of its joist.
    ///
    /// # Why
    /// Top and bottom carry the bending; a hole there counts as a notch, and a bad one.
    ///
    /// # Source
    /// IRC R502.8.1: 2 in to top and bottom. In a 2x6 this leaves 1-1/2 in for the hole, less than the third of the depth
    /// that is often quoted alone.
    ///
    /// # Limits
    /// Only holes whose size passes. A hole that breaks through is a notch. What is left between two holes is another
    /// rule's.
    ///
    /// # Example
    /// A 2-3/8 in hole in a 2x8 joist leaves 2.438 on both sides when centred; 1/2 in off centre it leaves 1.938.
    "joist-bore-too-near-edge", Wood, Code,
    "a hole leaves too little wood to a joist's top or bottom",
    figures: ["joist-edge"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("joist-edge");
    for told in Told::each(ctx, is_solid_joist) {
        let (cut, least) = (told.bore.cut, figure.length());
        let limit = Limit::AtLeast(least.to_inches());
        if cut.shape != Shape::Hole || !fits(&told) {
            continue;
        }
        let Some(verdict) = ctx.verdict(limit.margin(cut.least().to_inches()), 0.0) else { continue };
        let (left, missing) = (decimal(cut.least()), least - cut.least());
        let side = if cut.low < cut.high { "bottom" } else { "top" };
        let what = format!(
            "hole of {} for {} of {} leaves {left} to the {side} of {}, needs {least}",
            told.bore.drilled.hole,
            told.passes(),
            told.run(),
            told.member.label
        );
        let finding = told
            .finding(RULE.id, verdict, what, figure.source())
            .measured(cut.least().to_inches(), limit, "in")
            .line(format!("wood left to the bottom {}, to the top {}", decimal(cut.low), decimal(cut.high)))
            .line(format!("needed {}", decimal(least)))
            .line(short(missing));
        let most = told.member.depth() - least * 2.0;
        out.push(match (most - cut.width).to_inches() >= 0.0 {
            true => finding
                .help(format!("move it {} towards the middle of the depth", decimal(missing)))
                .cure(bore_to_the_middle(&told, true)),
            false => finding.help(format!("no hole over {} leaves enough on both sides", decimal(most))),
        });
    }
}
