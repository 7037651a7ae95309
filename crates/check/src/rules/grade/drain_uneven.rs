//! A drain that does not fall evenly.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::thousandths;
use crate::rule::rule;
use crate::stretch::{Stretch, graded_drains};
use truefall_model::job::Placement;
use truefall_model::place::Trouble;

rule! {
    /// # What it checks
    ///
    /// The level lengths of one run that follow each other round corners fall alike, to within a practical difference.
    ///
    /// # Why
    ///
    /// Where a drain goes from steep to flat the water slows down and drops what it carries.
    ///
    /// # Source
    ///
    /// Codes ask for an even slope and give no number; the number is ours.
    ///
    /// # Limits
    ///
    /// Only lengths of one run that hang together without a drop between them are compared, and as drawn: what a lean does
    /// to each is told by `drain-too-flat` and `drain-falls-backwards`. Steeper than `grade-offset` is an offset and not
    /// compared. Where one length is flatter than the code allows, or a grade could not be made, that is told instead.
    ///
    /// # Example
    ///
    /// A drain falls 1/2 in per ft as far as the corner and 1/4 after it: 1/4 apart, 1/8 is our limit.
    "drain-uneven", Grade, Code,
    "a drain falls unevenly along its run",
    figures: ["grade-uneven", "grade-offset", "grade-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.placement() != Placement::Drawn {
        return;
    }
    let offset = ctx.profile.figure("grade-offset");
    let stretches: Vec<Stretch> =
        graded_drains(ctx).into_iter().filter(|s| s.grade.to_per_foot() <= offset.value).collect();
    let mut rest = &stretches[..];
    while !rest.is_empty() {
        let n = 1 + rest.windows(2).take_while(|pair| follows(ctx, &pair[0], &pair[1])).count();
        out.extend(judge(ctx, &rest[..n]));
        rest = &rest[n..];
    }
}

/// Whether one stretch starts at the fitting at which the one before it ends, in the same run.
fn follows(ctx: &Ctx<'_>, one: &Stretch, next: &Stretch) -> bool {
    let (Some(last), Some(first)) = (one.legs.last(), next.legs.first()) else { return false };
    let (last, first) = (ctx.rough_in.leg(*last), ctx.rough_in.leg(*first));
    last.run == first.run && last.high == Some(first.low)
}

fn judge(ctx: &Ctx<'_>, row: &[Stretch]) -> Option<Finding> {
    let figure = ctx.profile.figure("grade-uneven");
    let by = |s: &&Stretch, t: &&Stretch| s.grade.to_per_foot().total_cmp(&t.grade.to_per_foot());
    let (flat, steep) = (row.iter().min_by(by)?, row.iter().max_by(by)?);
    let apart = steep.grade.to_per_foot() - flat.grade.to_per_foot();
    let limit = Limit::AtMost(figure.value);
    let verdict = match ctx.verdict(limit.margin(apart), 0.0)? {
        Verdict::Pass => Verdict::Pass,
        _ => Verdict::Watch,
    };
    if row.len() < 2 || told_elsewhere(ctx, flat) || row.iter().any(|s| not_made(ctx, s)) {
        return None;
    }
    let run = &ctx.rough_in.run(ctx.rough_in.leg(flat.legs[0]).run).label;
    let unevenly = if verdict == Verdict::Pass { "evenly" } else { "unevenly" };
    let what = format!(
        "{run} falls {unevenly}: {} at one place, {} at another, {apart:.3} in per ft apart, at most {}",
        steep.grade,
        flat.grade,
        figure.grade()
    );
    let (low, high) = ctx.rough_in.leg_ends(ctx.placed, flat.longest(ctx));
    let line =
        |s: &Stretch| format!("{} falls {}", ctx.legs_name(&s.legs), thousandths(s.grade.to_per_foot()));
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([run])
            .on(ctx.leg_labels(flat.longest(ctx)).into_iter().skip(1))
            .at(nalgebra::center(&low, &high))
            .measured(apart, limit, "in/ft")
            .lines(row.iter().map(line))
            .line(format!(
                "{} - {} = {apart:.3}",
                thousandths(steep.grade.to_per_foot()),
                thousandths(flat.grade.to_per_foot())
            ))
            .help(format!("give every length of {run} one grade")),
    )
}

/// Whether a stretch is too flat by the code, which another rule tells.
fn told_elsewhere(ctx: &Ctx<'_>, stretch: &Stretch) -> bool {
    ctx.profile
        .for_size("grade-min", stretch.size)
        .is_some_and(|least| !Limit::AtLeast(least.value).allows(stretch.grade.to_per_foot()))
}

/// Whether the parts could not make the grade that one of its legs is aimed at.
fn not_made(ctx: &Ctx<'_>, stretch: &Stretch) -> bool {
    let at = |joint| stretch.legs.iter().any(|leg| ctx.rough_in.leg(*leg).joint == joint);
    ctx.rough_in.troubles.iter().any(|t| matches!(t, Trouble::Seat { joint, .. } if at(*joint)))
}
