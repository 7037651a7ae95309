//! A building drain with no cleanout where it meets the sewer.

use crate::arm::leg_down;
use crate::bore::telling::over;
use crate::cleanout::{Cleanout, is_listed};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::job::pipes::Base;
use truefall_model::place::{PartId, Run, RunKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where a stack's base is said to be the building sewer, a cleanout stands on the drain no farther from it than the code
    /// says, counted along the pipe.
    ///
    /// # Why
    ///
    /// Roots and sags are out in the sewer. Without a way in at the house somebody lifts a closet to get at them.
    ///
    /// # Source
    ///
    /// The code's section on the junction of drain and sewer. That a cleanout near by serves as well is the codes'; how near is
    /// 10 ft in one city's text of a model code.
    ///
    /// # Limits
    ///
    /// Only a base with `sewer: true` is looked at. Whether the cleanout looks both ways, or is brought up to grade outside, is not
    /// known; one outside the house is listed on the stack as provided.
    ///
    /// # Example
    ///
    /// A 3 in drain starts at the sewer's stub and its first cleanout is 14 ft in: 10 are allowed.
    "cleanout-missing-at-sewer", Cleanouts, Code,
    "a building drain has no cleanout where it meets the sewer",
    figures: ["cleanout-at-sewer"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for run in &ctx.rough_in.runs {
        out.extend(judge(ctx, run));
    }
}

fn judge(ctx: &Ctx<'_>, run: &Run) -> Option<Finding> {
    let RunKind::Stack { index, base, .. } = run.kind else { return None };
    let Base::Stub { sewer: true, .. } = ctx.job.stacks.get(index)?.base else { return None };
    if is_listed(ctx, &run.label) {
        return None;
    }
    let figure = ctx.profile.figure("cleanout-at-sewer");
    let limit = Limit::AtMost(figure.value);
    let off = |cleanout: Cleanout| Some((to_base(ctx, cleanout.part, base)?, cleanout.part));
    let nearest = Cleanout::each(ctx).into_iter().filter_map(off).min_by(|a, b| a.0.total_cmp(&b.0));
    let verdict = match nearest {
        Some((way, _)) => ctx.verdict(limit.margin(way), 0.0)?,
        None => Verdict::RedTag,
    };
    let what = match nearest {
        Some((way, part)) => format!(
            "the first cleanout of {}, {}, is {} from the sewer, at most {}",
            run.label,
            ctx.label(part),
            Length::inches(way),
            figure.length()
        ),
        None => format!("{} meets the sewer and has no cleanout there", run.label),
    };
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([&run.label])
        .at(ctx.placed.origin(base))
        .help(format!("put a cleanout no farther than {} from the sewer", figure.length()));
    Some(match nearest {
        Some((way, part)) => finding
            .on([ctx.label(part)])
            .measured(way, limit, "in")
            .line(format!("along the pipe from {} to the base {way:.3} in", ctx.label(part)))
            .line(over(Length::inches(way - figure.value))),
        None => finding.line("no cleanout is on what drains to it, and none is listed"),
    })
}

/// How far a fitting is from a base along the pipe, in inches; none where it does not drain to it.
fn to_base(ctx: &Ctx<'_>, part: PartId, base: PartId) -> Option<f64> {
    let (mut at, mut way) = (part, 0.0);
    while at != base {
        let leg = leg_down(ctx.rough_in, at)?;
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        way += (high - low).norm();
        at = leg.low;
    }
    Some(way)
}
