//! A stack that goes through a floor without being held there.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::hung::{Counted, along_at, any_listed, clamps, is_hung};
use crate::rule::rule;
use crate::source::Source;
use truefall_model::framing::space::FloorSpace;
use truefall_model::place::{Run, RunKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Each stack that rises through a floor has a clamp listed at that floor, no farther from its rough surface than the
    /// profile says.
    ///
    /// # Why
    ///
    /// A stack is carried floor by floor. One that hangs on its branches breaks them, and one that stands on its base alone
    /// stands on whatever that stands on.
    ///
    /// # Source
    ///
    /// One code asks for support at each floor and there it is a red tag; where the code gives a length only, holding at each
    /// floor is common practice and a warning.
    ///
    /// # Limits
    ///
    /// It looks only where the job lists hangers at all: where it lists none, `hanger-too-far` says so. A hole through a
    /// plate guides a stack and does not carry it. A clamp on a fitting counts at the fitting's centre. Which floors a stack
    /// goes through is told by their outlines; a floor without one is taken to be everywhere.
    ///
    /// # Example
    ///
    /// A stack from a crawl space through two floors has a clamp at the first: none is listed at the second.
    "stack-not-held-at-floor", Support, Code,
    "a stack goes through a floor and is not held there",
    figures: ["stack-held-at-floor"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if !any_listed(ctx) {
        return;
    }
    for run in ctx.rough_in.runs.iter().filter(|run| !is_hung(ctx, run)) {
        for floor in &ctx.rough_in.framed.floors {
            out.extend(judge(ctx, run, floor));
        }
    }
}

fn judge(ctx: &Ctx<'_>, run: &Run, floor: &FloorSpace) -> Option<Finding> {
    let RunKind::Stack { base, .. } = &run.kind else { return None };
    let foot = ctx.placed.origin(*base);
    let up = floor.rough_z - foot.z;
    let at = crossing(ctx, run, floor)?;
    let figure = ctx.profile.figure("stack-held-at-floor");
    let limit = Limit::AtMost(figure.value);
    let nearest = clamps(ctx, run).into_iter().min_by(|a, b| (a - up).abs().total_cmp(&(b - up).abs()));
    let verdict = match figure.source() {
        _ if nearest.is_some_and(|clamp| limit.allows((clamp - up).abs())) => {
            ctx.passes.then_some(Verdict::Pass)?
        }
        Source::Code { .. } => Verdict::RedTag,
        Source::House { .. } => Verdict::Watch,
    };
    let held = if verdict == Verdict::Pass { "is held" } else { "is not held" };
    let what = format!("stack {} goes through {} and {held} there", run.label, floor.label);
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([&run.label, &floor.label])
        .at(at)
        .line(format!("the rough floor is {} over the stack's base", Length::inches(up)));
    finding = match nearest {
        Some(clamp) => finding.measured((clamp - up).abs(), limit, "in").line(format!(
            "the nearest clamp is {} over the base: {} off, at most {}",
            Length::inches(clamp),
            Length::inches((clamp - up).abs()),
            figure.length()
        )),
        None => finding.line("no clamp is listed on this stack"),
    };
    let at = match Counted::of(ctx, run) {
        Counted::Along => format!("{} along the pipe from its base", Length::inches(along_at(ctx, run, up))),
        _ => format!("{} over its base", Length::inches(up)),
    };
    Some(finding.help(format!("clamp it at the floor, {at}")))
}

/// Where a stack rises through a floor.
fn crossing(ctx: &Ctx<'_>, run: &Run, floor: &FloorSpace) -> Option<nalgebra::Point3<f64>> {
    let legs = ctx.rough_in.legs.iter().filter(|leg| leg.run == run.id);
    let mut through = legs.filter_map(|leg| {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let (from, to) = (low.z.min(high.z), low.z.max(high.z));
        let share = (floor.rough_z - low.z) / (high.z - low.z);
        (from < floor.rough_z && floor.rough_z <= to).then(|| low + (high - low) * share)
    });
    let inside = |at: &nalgebra::Point3<f64>| {
        floor
            .outline
            .is_none_or(|(low, high)| (low.x..=high.x).contains(&at.x) && (low.y..=high.y).contains(&at.y))
    };
    through.rfind(inside)
}
