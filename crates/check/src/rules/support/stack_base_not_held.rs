//! A stack whose foot nothing carries.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::hung::{any_listed, clamps, is_hung};
use crate::rule::rule;
use crate::source::Source;
use truefall_model::framing::provided::Provided;
use truefall_model::place::{PartId, PartKind, Run, RunKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Each stack that rises a storey or more from a cut pipe with a coupling, or from a bend at the end of a level stretch,
    /// has a hanger, clamp or block listed at its foot.
    ///
    /// # Why
    ///
    /// A sleeve coupling holds pipes in line and carries none of their weight; a bend at the foot of a stack takes all of it.
    /// One stack that was held by lath dropped 2 ft when it was cut.
    ///
    /// # Source
    ///
    /// One code asks for support at the base and there it is a red tag; elsewhere it is common practice and a warning.
    ///
    /// # Limits
    ///
    /// It looks only where the job lists hangers or blocks at all. A stack in a hub stands on the iron that was there, and
    /// whether that is carried has to be looked at on site. How strong a block is it can't say.
    ///
    /// # Example
    ///
    /// A 3 in stack of 17 ft stands on a band coupling over a cut pipe and its first clamp is 9 ft up.
    "stack-base-not-held", Support, Code,
    "nothing carries the foot of a stack",
    figures: ["stack-held-at-base", "storey-height"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let blocked = ctx.job.provided.iter().any(|p| matches!(p, Provided::Blocking { .. }));
    if any_listed(ctx) || blocked {
        out.extend(ctx.rough_in.runs.iter().filter_map(|run| judge(ctx, run)));
    }
}

fn judge(ctx: &Ctx<'_>, run: &Run) -> Option<Finding> {
    let RunKind::Stack { base, .. } = &run.kind else { return None };
    let (foot, rise) = riser(ctx, run)?;
    let existing = matches!(ctx.rough_in.part(*base).kind, PartKind::Existing { hub: true, .. });
    let storey = ctx.profile.figure("storey-height");
    if rise < storey.value || (foot == *base && existing) || is_hung(ctx, run) {
        return None;
    }
    let is_blocked = |item: &Provided| match item {
        Provided::Blocking { at, .. } => *at == run.label || at == ctx.label(foot),
        _ => false,
    };
    let figure = ctx.profile.figure("stack-held-at-base");
    let limit = Limit::AtMost(figure.value);
    let over_base = ctx.placed.origin(foot).z - ctx.placed.origin(*base).z;
    let nearest = clamps(ctx, run).into_iter().map(|up| (up - over_base).abs()).min_by(f64::total_cmp);
    if ctx.job.provided.iter().any(is_blocked) {
        return None;
    }
    let verdict = match figure.source() {
        _ if nearest.is_some_and(|off| limit.allows(off)) => ctx.passes.then_some(Verdict::Pass)?,
        Source::Code { .. } => Verdict::RedTag,
        Source::House { .. } => Verdict::Watch,
    };
    let on =
        if foot == *base { "the coupling on its cut base".to_owned() } else { ctx.label(foot).to_string() };
    let holds = if verdict == Verdict::Pass { "is held" } else { "nothing holds" };
    let what = format!("stack {} stands {} high on {on}, which {holds}", run.label, Length::inches(rise));
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([&run.label, ctx.label(foot)])
        .at(ctx.placed.origin(foot))
        .line(format!("it rises {rise:.3} in from there; a storey is {:.3}", storey.value));
    finding = match nearest {
        Some(off) => finding.measured(off, limit, "in").line(format!(
            "the nearest clamp is {} off, at most {}",
            Length::inches(off),
            figure.length()
        )),
        None => finding.line("no clamp is listed on this stack"),
    };
    Some(finding.help(format!("clamp or block it within {} of {}", figure.length(), ctx.label(foot))))
}

/// The part the first riser of a stack stands on, and how high it rises from there.
fn riser(ctx: &Ctx<'_>, run: &Run) -> Option<(PartId, f64)> {
    let mut foot = None;
    let mut rise = 0.0;
    for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == run.id) {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let axis = ctx.rough_in.leg_axis(ctx.placed, leg.id);
        if axis.z > axis.xy().norm() {
            foot.get_or_insert(leg.low);
            rise += high.z - low.z;
        } else if foot.is_some() {
            break;
        }
    }
    foot.map(|foot| (foot, rise))
}
