//! A hole that takes too much of a stud's depth.

use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_stud, over, percent};
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::cure::{doubled_stud, smaller_bit};
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::tolerance::at_most;

rule! {
    /// # What it checks
    /// The diameter of each hole in a stud against a share of the stud's true depth: less for a single stud of an outside
    /// or bearing wall, more for one that is doubled or carries nothing.
    ///
    /// # Why
    /// A stud carries with what is left beside the hole; a stud bored too far buckles.
    ///
    /// # Source
    /// IRC R602.6. The sum is in decimals: published tables round 2.100 up to 2-1/8 and 3.300 up to 3-5/16, and a hole of
    /// that size is over.
    ///
    /// # Limits
    /// Stud shoes and other listed reinforcement are not known. A hole drilled aslant counts with what it takes of the
    /// depth. Kings, jacks and cripples are held to the same. Where nobody said whether a wall bears it is taken as
    /// bearing, and the sum says so. An edge left too thin is another rule's, told only where the size passes.
    ///
    /// # Example
    /// The usual 2-1/8 in hole for 1-1/2 in pipe in a 2x4 stud that carries nothing: 60 percent of 3-1/2 is 2.100, over by
    /// 0.025.
    "stud-bore-too-large", Wood, Code,
    "a hole takes more of a stud's depth than is allowed",
    figures: ["stud-bore"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for told in Told::each(ctx, is_stud) {
        if told.bore.cut.shape != Shape::Hole {
            continue;
        }
        let figure = share(&told);
        let (depth, hole) = (told.member.depth(), told.bore.cut.width);
        let most = depth * figure.value;
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(hole.to_inches()), 0.0) else { continue };
        let what = told.hole_against(most);
        let mut finding = told
            .finding(RULE.id, verdict, what, figure.source())
            .measured(hole.to_inches(), limit, "in")
            .lines(told.bearing_lines())
            .line(format!("{} % of it {}", percent(figure.value), decimal(most)))
            .line(over(hole - most));
        let doubled = depth * ctx.profile.figure("stud-bore.doubled").value;
        if told.bears() && !told.is_doubled() && at_most(hole, doubled) {
            finding = finding.help(format!("double the stud: then up to {} may be bored", decimal(doubled)));
        } else if at_most(told.bore.outside, most) {
            let (outside, most) = (decimal(told.bore.outside), decimal(most));
            finding = finding
                .help(format!("a bit from {outside} to {most} lets the bare {} through", told.passes()));
        }
        let may_double = told.bears() && !told.is_doubled() && at_most(hole, doubled);
        let double = may_double.then(|| doubled_stud(&told)).flatten();
        out.push(finding.cure(smaller_bit(&told, most)).cure(double));
    }
}

/// Whether the size of the hole is allowed.
pub(super) fn fits(told: &Told<'_>) -> bool {
    let most = told.member.depth() * share(told).value;
    at_most(told.bore.cut.width, most)
}

/// The share of the depth that may be bored.
pub(super) fn share<'a>(told: &Told<'a>) -> &'a Figure {
    told.ctx.profile.figure(match (told.bears(), told.is_doubled()) {
        (false, _) => "stud-bore.non-bearing",
        (true, true) => "stud-bore.doubled",
        (true, false) => "stud-bore.bearing",
    })
}
