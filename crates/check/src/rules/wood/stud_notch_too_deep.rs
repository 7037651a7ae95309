//! A notch that goes too deep into a stud.

use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_stud, over, percent};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// Where a pipe's hole breaks through a stud's face, the depth from that face to the bottom of the hole.
    ///
    /// # Why
    /// A notch takes the outer fibres, which carry most; less of it is allowed than of a hole.
    ///
    /// # Source
    /// IRC R602.6: a quarter of the depth in an outside or bearing wall, two fifths where nothing is carried.
    ///
    /// # Limits
    /// The notch is taken as deep as the hole's far side; one cut closer to the pipe is a little less deep, which the job
    /// can say by stating the hole. Listed reinforcement is not known.
    ///
    /// # Example
    /// A 1-1/2 in notch in a 2x6 bearing stud: a quarter of 5-1/2 is 1.375, over by 0.125.
    "stud-notch-too-deep", Wood, Code,
    "a notch goes deeper into a stud than is allowed",
    figures: ["stud-notch"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for told in Told::each(ctx, is_stud) {
        let Shape::Notch { depth, .. } = told.bore.cut.shape else { continue };
        let key = if told.bears() { "stud-notch.bearing" } else { "stud-notch.non-bearing" };
        let figure = ctx.profile.figure(key);
        let most = told.member.depth() * figure.value;
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(depth.to_inches()), 0.0) else { continue };
        let what = format!(
            "notch for {} of {} is {} deep in {}, at most {} is allowed",
            told.passes(),
            told.run(),
            decimal(depth),
            told.member.label,
            decimal(most)
        );
        out.push(
            told.finding(RULE.id, verdict, what, figure.source())
                .measured(depth.to_inches(), limit, "in")
                .lines(told.bearing_lines())
                .line(format!("the hole breaks through the face: a notch {} deep", decimal(depth)))
                .line(format!("{} % of the depth {}", percent(figure.value), decimal(most)))
                .line(over(depth - most))
                .help(format!("move it out of the stud by {}", decimal(depth - most))),
        );
    }
}
