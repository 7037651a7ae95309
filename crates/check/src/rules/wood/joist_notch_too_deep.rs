//! A notch that goes too deep into a joist.

use super::joist_notch_in_middle_third::zone;
use crate::bore::telling::{Told, decimal, is_solid_joist, over, percent};
use crate::bore::{Shape, Zone};
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::tolerance::at_most;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    /// Where a pipe's hole breaks through the top or bottom of a joist, rafter, beam or header, the depth of that notch: a
    /// sixth of the member's depth in the outer thirds of the span, a quarter over the support at an end.
    ///
    /// # Why
    /// A notch starts a split that runs along the joist.
    ///
    /// # Source
    /// IRC R502.8.1. Published tables round up here and there; the sum is in decimals.
    ///
    /// # Limits
    /// A notch counts as over the support when its centre is within the least seat of a joist's end (1-1/2 in on wood).
    /// One in the middle third is another rule's.
    ///
    /// # Example
    /// A 1-1/2 in pipe lies 1-3/4 in deep in the top of a 2x8 joist: a sixth of 7-1/4 is 1.208, over by 0.542.
    "joist-notch-too-deep", Wood, Code,
    "a notch goes deeper into a joist than is allowed",
    figures: ["joist-notch", "joist-notch-end", "joist-seat"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for told in Told::each(ctx, is_solid_joist) {
        let Shape::Notch { depth, .. } = told.bore.cut.shape else { continue };
        let Some((figure, most)) = most(&told) else { continue };
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(depth.to_inches()), 0.0) else { continue };
        let what = format!(
            "notch for {} of {} is {} deep in {}, at most {} is allowed there",
            told.passes(),
            told.run(),
            decimal(depth),
            told.member.label,
            decimal(most)
        );
        out.push(
            told.finding(RULE.id, verdict, what, figure.source())
                .measured(depth.to_inches(), limit, "in")
                .line(format!("the hole breaks through: a notch {} deep", decimal(depth)))
                .line(format!("{} % of the depth {}", percent(figure.value), decimal(most)))
                .line(over(depth - most))
                .help(format!("move it out of the joist by {}", decimal(depth - most))),
        );
    }
}

/// The figure for where the notch is and the depth it allows; none in the middle third, where no notch may be.
fn most<'a>(told: &Told<'a>) -> Option<(&'a Figure, Length)> {
    let key = match zone(told) {
        Zone::Middle => return None,
        Zone::End => "joist-notch-end",
        Zone::Outer => "joist-notch",
    };
    let figure = told.ctx.profile.figure(key);
    Some((figure, told.member.depth() * figure.value))
}

/// Whether a notch of that depth is allowed where it is.
pub(super) fn fits(told: &Told<'_>, depth: Length) -> bool {
    most(told).is_some_and(|(_, most)| at_most(depth, most))
}
