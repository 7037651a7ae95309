//! Hangers: those the job lists, and those more that the code's spacing asks for; each with the size of its pipe.

use crate::site::Site;
use truefall_check::Ctx;
use truefall_check::hung::{Span, spans};
use truefall_model::framing::provided::Provided;
use truefall_model::label::Label;
use truefall_model::place::{Run, RunKind};
use truefall_model::tolerance::SLACK;
use truefall_model::units::NominalSize;

/// The size of each hanger and the run it carries, in the placement the job is built to.
pub(super) fn hangers<'a>(site: &'a Site<'_>) -> Vec<(NominalSize, &'a Label)> {
    site.looking(site.job.cut_on, |ctx| {
        let mut found = Vec::new();
        for item in &site.job.provided {
            let Provided::Hanger { on, at, .. } = item else { continue };
            let part = site.rough_in.parts.iter().find(|p| p.label == *on);
            let run = site.rough_in.runs.iter().find(|r| r.label == *on);
            let run = run.or_else(|| part.map(|p| site.rough_in.run(p.run)));
            match (run, at, part) {
                (Some(run), Some(at), _) => found.push((size_at(ctx, run, at.to_inches()), &run.label)),
                (Some(run), None, Some(part)) => found.push((part.size(), &run.label)),
                // Hung all along as the code asks: the spans below count it.
                _ => {}
            }
        }
        for span in spans(ctx) {
            let Some(spacing) = span.spacing(ctx).map(|figure| figure.value) else { continue };
            let run = site.rough_in.run(span.run);
            let sizes = span.wanted(spacing).into_iter().map(|at| size_in(ctx, run, &span, at));
            found.extend(sizes.map(|size| (size, &run.label)));
        }
        found
    })
}

/// The size of the pipe at a place along a branch, or up a stack from its base.
fn size_at(ctx: &Ctx<'_>, run: &Run, at: f64) -> NominalSize {
    let level = matches!(run.kind, RunKind::Branch { .. });
    let span = spans(ctx)
        .into_iter()
        .filter(|s| s.run == run.id && s.level == level)
        .find(|s| s.from - SLACK <= at && at <= s.to + SLACK);
    match span {
        Some(span) => size_in(ctx, run, &span, at),
        None => first_size(ctx, run),
    }
}

/// The size of the pipe at a place of a span.
fn size_in(ctx: &Ctx<'_>, run: &Run, span: &Span, at: f64) -> NominalSize {
    let mut from = span.from;
    let mut inside = false;
    for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == run.id) {
        inside |= leg.low == span.ends.0;
        if !inside {
            continue;
        }
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        from += if span.level { (high - low).xy().norm() } else { (high.z - low.z).abs() };
        if at <= from + SLACK {
            return leg.size;
        }
    }
    first_size(ctx, run)
}

fn first_size(ctx: &Ctx<'_>, run: &Run) -> NominalSize {
    let leg = ctx.rough_in.legs.iter().find(|leg| leg.run == run.id);
    let base = match run.kind {
        RunKind::Stack { base, .. } => base,
        RunKind::Branch { from, .. } => from.0,
    };
    leg.map_or_else(|| ctx.rough_in.part(base).size(), |leg| leg.size)
}
