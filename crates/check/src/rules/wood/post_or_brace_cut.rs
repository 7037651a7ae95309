//! A post or brace that is cut.

use crate::bore::Shape;
use crate::bore::telling::{Told, decimal};
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use crate::source::Source;
use truefall_model::framing::member::MemberKind;

rule! {
    /// # What it checks
    /// Any hole or notch in a post or a brace.
    ///
    /// # Why
    /// Both carry what many studs together carry elsewhere, and no table says how much of them may go.
    ///
    /// # Source
    /// Our own: the tables of the residential code are for studs, joists, rafters and beams.
    ///
    /// # Limits
    /// It can't say whether the cut is harmless; that is for the engineer of the house or the local official.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    /// A drain goes through the 4x4 post under a ridge.
    "post-or-brace-cut", Wood, House("no table says how much of a post or brace may be cut"),
    "a post or brace is cut",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for told in Told::each(ctx, |m| matches!(m.kind, MemberKind::Post | MemberKind::Brace)) {
        let cut = if told.bore.cut.shape == Shape::Hole { "bored" } else { "notched" };
        let taken = told.bore.cut.taken();
        let what = format!("{} is {cut} for {} of {}", told.member.label, told.passes(), told.run());
        let source = Source::house("no table says how much of a post or brace may be cut");
        out.push(
            told.finding(RULE.id, Verdict::Ask, what, source)
                .reading(taken.to_inches(), "in")
                .line(format!("cut away {} of {}", decimal(taken), decimal(told.bore.cut.member_depth)))
                .help("ask an engineer before it is cut, or go round it"),
        );
    }
}
