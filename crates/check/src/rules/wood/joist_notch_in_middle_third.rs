//! A notch in the middle third of a joist.

use crate::bore::telling::{Told, decimal, is_solid_joist};
use crate::bore::{Shape, Zone};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// Whether a notch in a joist, rafter, beam or header touches the middle third of its length.
    ///
    /// # Why
    /// Bending is greatest there, and a notch takes the very fibres that carry it.
    ///
    /// # Source
    /// IRC R502.8.1: notches belong in the outer thirds.
    ///
    /// # Limits
    /// The member's whole length is taken as one span; a joist over a beam in its middle has its thirds elsewhere.
    /// No depth of notch is allowed there, so no pass is told.
    ///
    /// # Example
    /// A shower drain notches the top of a 12 ft joist 5 ft from its end.
    "joist-notch-in-middle-third", Wood, Code,
    "a joist is notched in the middle third of its span",
    figures: ["joist-notch-middle-third", "joist-seat"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("joist-notch-middle-third");
    for told in Told::each(ctx, is_solid_joist) {
        let Shape::Notch { depth, .. } = told.bore.cut.shape else { continue };
        if zone(&told) != Zone::Middle {
            continue;
        }
        let (length, share) = (told.member.length(), figure.value);
        let most = told.member.depth() * share;
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(depth.to_inches()), 0.0) else { continue };
        let what = format!(
            "notch for {} of {} is in the middle third of {}",
            told.passes(),
            told.run(),
            told.member.label
        );
        out.push(
            told.finding(RULE.id, verdict, what, figure.source())
                .measured(depth.to_inches(), limit, "in")
                .line(format!(
                    "length {length}, its middle third from {} to {}",
                    length / 3.0,
                    length * 2.0 / 3.0
                ))
                .line(format!("notch {} deep at {} from its end", decimal(depth), told.bore.along))
                .help("drill it nearer the middle of the depth, or cross the joist in an outer third"),
        );
    }
}

/// Which part of the span a bore is in.
pub(super) fn zone(told: &Told<'_>) -> Zone {
    told.bore.zone(told.member, told.ctx.profile.figure("joist-seat").length())
}
