//! A soil line that falls more than is good for it.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::fixtures_through;
use crate::lean::{grade_error, grade_sum};
use crate::rule::rule;
use crate::stretch::graded_drains;
use truefall_model::job::fixture::FixtureKind;

rule! {
    /// # What it checks
    ///
    /// A level drain that carries a closet falls no more than practice allows.
    ///
    /// # Why
    ///
    /// On a steep drain the water is said to run away from the solids. It also takes height that the next branch needs.
    ///
    /// # Source
    ///
    /// Common practice; no code has a greatest slope for an ordinary drain.
    ///
    /// # Limits
    ///
    /// Drains that carry no closet are not looked at. What is steeper than `grade-offset` is taken as an offset by bends and
    /// not told. A grade over the limit by less than the survey's error is not told.
    ///
    /// # Example
    ///
    /// A closet's branch falls 3/4 in per ft to pass below a joist: worth a look.
    "drain-steeper-than-practice", Grade, Code,
    "a soil line falls more than practice allows",
    figures: ["grade-practice-max", "grade-offset"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (figure, offset) = (ctx.profile.figure("grade-practice-max"), ctx.profile.figure("grade-offset"));
    for stretch in graded_drains(ctx) {
        let falls = stretch.grade.to_per_foot();
        let leg = stretch.longest(ctx);
        let limit = Limit::AtMost(figure.value);
        let error = grade_error(ctx, leg).to_per_foot();
        // Within its own error of the limit is no fault here: it is no more than practice.
        let verdict = match ctx.verdict(limit.margin(falls), error) {
            Some(Verdict::RedTag) => Verdict::Watch,
            Some(Verdict::Pass) => Verdict::Pass,
            _ => continue,
        };
        if falls > offset.value || !carries_a_closet(ctx, leg) {
            continue;
        }
        let what = format!(
            "{} carries a closet and falls {}, practice is at most {}",
            ctx.legs_name(&stretch.legs),
            stretch.grade,
            figure.grade()
        );
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg);
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on(ctx.leg_labels(leg))
                .at(nalgebra::center(&low, &high))
                .measured(falls, limit, "in/ft")
                .known_to(error)
                .lines(grade_sum(ctx, leg))
                .help("lay it flatter and take the height at a vertical, or by an offset of two 1/8 bends"),
        );
    }
}

fn carries_a_closet(ctx: &Ctx<'_>, leg: truefall_model::place::LegId) -> bool {
    let leg = ctx.rough_in.leg(leg);
    leg.piece.or(leg.high).is_some_and(|part| {
        fixtures_through(ctx, part).iter().any(|i| ctx.job.fixtures[*i].kind == FixtureKind::Closet)
    })
}
