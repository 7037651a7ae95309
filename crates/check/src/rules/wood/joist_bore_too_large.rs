//! A hole that takes too much of a joist's depth.

use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_solid_joist, over, percent};
use crate::ctx::Ctx;
use crate::cure::smaller_bit;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::tolerance::at_most;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    /// The diameter of each hole in a joist, rim, rafter, beam or header of solid wood against a third of its true depth.
    ///
    /// # Why
    /// A hole takes from the web of the joist what holds its top and bottom together.
    ///
    /// # Source
    /// IRC R502.8.1. Compared in decimals of the true depth: a third of 9-1/4 is 3.083.
    ///
    /// # Limits
    /// Holes in the middle third of the span are allowed by the text, though some officials say otherwise. Beams made of
    /// several plies are held to it ply by ply. A hole whose edge is too near top or bottom is another rule's, told only
    /// where the size passes.
    ///
    /// # Example
    /// A 3 in pipe crosses 2x10 joists: its hole of 3-5/8 in is over 3.083 by 0.542; a 2x12 takes it.
    "joist-bore-too-large", Wood, Code,
    "a hole takes more than a third of a joist's depth",
    figures: ["joist-bore"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("joist-bore");
    for told in Told::each(ctx, is_solid_joist) {
        if told.bore.cut.shape != Shape::Hole {
            continue;
        }
        let (hole, most) = (told.bore.cut.width, most(&told));
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(hole.to_inches()), 0.0) else { continue };
        let what = told.hole_against(most);
        let mut finding = told
            .finding(RULE.id, verdict, what, figure.source())
            .measured(hole.to_inches(), limit, "in")
            .line(format!("{} % of it {}", percent(figure.value), decimal(most)))
            .line(over(hole - most));
        if at_most(told.bore.outside, most) {
            let (outside, most) = (decimal(told.bore.outside), decimal(most));
            finding = finding
                .help(format!("a bit from {outside} to {most} lets the bare {} through", told.passes()));
        }
        out.push(finding.cure(smaller_bit(&told, self::most(&told))));
    }
}

fn most(told: &Told<'_>) -> Length {
    told.member.depth() * told.ctx.profile.figure("joist-bore").value
}

/// Whether the size of the hole is allowed.
pub(super) fn fits(told: &Told<'_>) -> bool {
    at_most(told.bore.cut.width, most(told))
}
