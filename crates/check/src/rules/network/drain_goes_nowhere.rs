//! A dead end: pipe that leaves a drain and is closed some way off, with nothing on it.

use crate::arm::leg_down;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::framing::provided::Provided;
use truefall_model::job::pipes::{End, System};
use truefall_model::place::{LegId, PartId, Run, RunKind};
use truefall_model::tolerance::at_least;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where a run is closed with a cap or plug, the pipe between the drain it leaves and its closed end is shorter than what the
    /// code calls a dead end, unless it brings a cleanout within reach.
    ///
    /// # Why
    ///
    /// A dead end holds what floats into it and is never washed.
    ///
    /// # Source
    ///
    /// The code's definition of a dead end. What is kept for a fixture to come is none where it is approved, so the finding is a
    /// question.
    ///
    /// # Limits
    ///
    /// From just that length on it is a dead end. The length is that of the centre lines from the last fitting waste passes through. What is said to be a vent, and what is
    /// left open for later work, is not looked at; nor is existing pipe.
    ///
    /// # Example
    ///
    /// A 2 in branch leaves the stack and is capped 3 ft off: asked.
    "drain-goes-nowhere", Network, Code,
    "pipe leaves a drain and ends closed, with nothing on it",
    figures: ["dead-end"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("dead-end");
    for run in ctx.rough_in.runs.iter().filter(|run| is_closed(ctx, run) && run.system.is_none_or(drains)) {
        let Some(last) = run.last_piece.or(run.fits.last().map(|f| f.1)) else { continue };
        let Some((from, legs)) = dead(ctx, last) else { continue };
        let lengths: Vec<Length> = legs.iter().map(|leg| length(ctx, *leg)).collect();
        let together: Length = lengths.iter().copied().sum();
        // Short of the figure it is none; from there on it is.
        let is_short = !at_least(together, figure.length());
        if (is_short && !ctx.passes) || serves_a_cleanout(ctx, run) {
            continue;
        }
        let verdict = if is_short { Verdict::Pass } else { Verdict::Ask };
        let lines = legs.iter().zip(&lengths);
        let lines =
            lines.map(|(leg, length)| format!("{}: {:.3} in", ctx.leg_name(*leg), length.to_inches()));
        let what = format!(
            "{} leaves {} and ends closed {together} off with nothing on it, a dead end from {}",
            run.label,
            ctx.label(from),
            figure.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([&run.label, ctx.label(last), ctx.label(from)])
                .at(ctx.placed.origin(last))
                .measured(together.to_inches(), Limit::AtMost(figure.value), "in")
                .lines(lines.collect::<Vec<_>>().into_iter().rev())
                .help("ask whether it may stay for a later fixture, close it nearer, or make its end a cleanout"),
        );
    }
}

fn drains(system: System) -> bool {
    system == System::Drain
}

fn is_closed(ctx: &Ctx<'_>, run: &Run) -> bool {
    let end = match run.kind {
        RunKind::Stack { index, .. } => &ctx.job.stacks[index].end,
        RunKind::Branch { index, .. } => &ctx.job.branches[index].end,
    };
    let by_fitting = run.fits.last().is_some_and(|(_, last)| {
        ctx.rough_in.part(*last).pattern().is_some_and(|p| matches!(p.family, Family::Cap | Family::Plug))
    });
    matches!(end, End::Capped {}) || (by_fitting && matches!(end, End::Open {}))
}

/// From a closed end down to the first fitting waste passes through: that fitting and the legs between. Nothing where waste
/// passes nowhere, or air comes in on the way.
fn dead(ctx: &Ctx<'_>, last: PartId) -> Option<(PartId, Vec<LegId>)> {
    let mut legs = Vec::new();
    let mut at = last;
    while !ctx.is_wet(at) {
        let leg = leg_down(ctx.rough_in, at)?;
        legs.push(leg.id);
        at = leg.low;
        if ctx.rough_in.network.airy[at.0 as usize] && !ctx.is_wet(at) {
            return None;
        }
    }
    Some((at, legs))
}

fn length(ctx: &Ctx<'_>, leg: LegId) -> Length {
    let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg);
    Length::inches((high - low).norm())
}

fn serves_a_cleanout(ctx: &Ctx<'_>, run: &Run) -> bool {
    let named = |at: &truefall_model::label::Label| {
        *at == run.label || run.fits.iter().any(|(_, fit)| ctx.label(*fit) == at)
    };
    let provided = ctx.job.provided.iter().any(|p| matches!(p, Provided::Cleanout { at } if named(at)));
    let by_fitting = run
        .fits
        .iter()
        .any(|(_, fit)| ctx.rough_in.part(*fit).pattern().is_some_and(|p| p.family == Family::CleanoutTee));
    provided || by_fitting
}
