//! A notch that is too long along a joist.

use super::joist_notch_in_middle_third::zone;
use super::joist_notch_too_deep::fits;
use crate::bore::telling::{Told, decimal, is_solid_joist, over, percent};
use crate::bore::{Shape, Zone};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// How long a notch is along a joist, rafter, beam or header, against a third of the member's depth.
    ///
    /// # Why
    /// The longer the thinned stretch, the more it bends.
    ///
    /// # Source
    /// IRC R502.8.1.
    ///
    /// # Limits
    /// Only notches whose depth passes. The length is that of the round hole at the face; a notch sawn wider is longer.
    /// Notches over the support at an end are not held to it.
    ///
    /// # Example
    /// A 3 in pipe lies 1 in deep in the top of a 2x8 joist: the notch is 3.24 long, a third of 7-1/4 is 2.417.
    "joist-notch-too-long", Wood, Code,
    "a notch is longer along a joist than is allowed",
    figures: ["joist-notch-long", "joist-seat"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("joist-notch-long");
    for told in Told::each(ctx, is_solid_joist) {
        let Shape::Notch { depth, length, .. } = told.bore.cut.shape else { continue };
        let most = told.member.depth() * figure.value;
        if zone(&told) != Zone::Outer || !fits(&told, depth) {
            continue;
        }
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(length.to_inches()), 0.0) else { continue };
        let what = format!(
            "notch for {} of {} is {} long in {}, at most {} is allowed",
            told.passes(),
            told.run(),
            decimal(length),
            told.member.label,
            decimal(most)
        );
        out.push(
            told.finding(RULE.id, verdict, what, figure.source())
                .measured(length.to_inches(), limit, "in")
                .line(format!("{} % of the depth {}", percent(figure.value), decimal(most)))
                .line(over(length - most))
                .help("move the pipe out of the joist, or drill it nearer the middle of the depth"),
        );
    }
}
