//! A hole and a notch in one section of a stud.

use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_stud};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// Whether a hole and a notch of one stud lie in the same section: along the stud one reaches into the other.
    ///
    /// # Why
    /// Each limit takes the rest of the section as whole.
    ///
    /// # Source
    /// IRC R602.6: a hole is not to be in the same section as a notch.
    ///
    /// # Limits
    /// Only cuts that the job's own pipes make; what electricians and old pipes cut is not known.
    ///
    /// # Example
    /// A vent's hole 1/2 in over a notch for a drain, centre to centre 1 in: the sections overlap.
    "stud-hole-beside-notch", Wood, Code,
    "a hole and a notch are in the same section of a stud",
    figures: ["stud-hole-to-notch"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("stud-hole-to-notch");
    let all = Told::each(ctx, is_stud);
    for hole in all.iter().filter(|t| t.bore.cut.shape == Shape::Hole) {
        for notch in all.iter().filter(|t| t.bore.lead == hole.bore.lead) {
            let Shape::Notch { length, .. } = notch.bore.cut.shape else { continue };
            let apart = (hole.bore.along - notch.bore.along).abs();
            let between = apart - hole.bore.drilled.hole / 2.0 - length / 2.0;
            let limit = Limit::AtLeast(figure.value);
            let Some(verdict) = ctx.verdict(limit.margin(between.to_inches()), 0.0) else { continue };
            let same = if verdict == Verdict::Pass { "not in one" } else { "in the same" };
            let what = format!(
                "hole for {} of {} and notch for {} of {} are {same} section of {}",
                hole.passes(),
                hole.run(),
                notch.passes(),
                notch.run(),
                hole.member.label
            );
            out.push(
                hole.finding(RULE.id, verdict, what, figure.source())
                    .on([notch.run(), ctx.label(notch.bore.part)])
                    .measured(between.to_inches(), limit, "in")
                    .line(format!("centres apart along the stud {}", decimal(apart)))
                    .line(format!("less half the hole and half the notch: {}", decimal(between)))
                    .help(format!("move them apart by {}", decimal(-between))),
            );
        }
    }
}
