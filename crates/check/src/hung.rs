//! What carries the pipe: runs cut into level and plumb spans, with every point at which something holds them.
//!
//! A level span is held where it starts and ends, in every stud or joist it is bored through, and where a hanger is
//! listed. A plumb span is held at its foot and its top and where a clamp is listed: a hole in a plate only guides it.

use crate::code::Figure;
use crate::ctx::Ctx;
use truefall_model::catalog::material::Material;
use truefall_model::framing::provided::Provided;
use truefall_model::place::{Leg, PartId, Run, RunId, RunKind};
use truefall_model::tolerance::SLACK;
use truefall_model::units::NominalSize;

/// A stretch of one run that goes on level, or up and down.
#[derive(Debug, Clone)]
pub struct Span {
    /// The run.
    pub run: RunId,
    /// It lies nearer to level than to plumb.
    pub level: bool,
    /// The part it starts at and the part it ends at, where there is one.
    pub ends: (PartId, Option<PartId>),
    /// Where it starts and ends, in inches along the run: level distance from where a branch starts; up a riser height
    /// over the stack's base.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Where something holds it, in order, both ends among them.
    pub held: Vec<f64>,
    /// Those of them at which the job or the wood holds it; ends that are only taken to be held are left out.
    pub points: Vec<f64>,
    /// Its fittings, in order, each with where it is.
    pub fits: Vec<(PartId, f64)>,
    /// The job lists a hanger on its run.
    pub listed: bool,
    /// Its pipe.
    pub pipe: Vec<(Material, NominalSize)>,
    /// The job says of the whole run that it is hung as the code asks.
    pub hung: bool,
}

impl Span {
    /// The least spacing the profile has for its pipe; none where the code has no table for it.
    pub fn spacing<'p>(&self, ctx: &Ctx<'p>) -> Option<&'p Figure> {
        let kind = if self.level { "hanger-level" } else { "hanger-plumb" };
        let of = |(material, size): &(Material, NominalSize)| {
            let word = material.word();
            let sized = ctx.profile.find(&format!("{kind}.{word}.{size}"));
            sized.or_else(|| ctx.profile.find(&format!("{kind}.{word}")))
        };
        self.pipe.iter().filter_map(of).min_by(|a, b| a.value.total_cmp(&b.value))
    }

    /// The widest gap between two points that hold it.
    pub fn widest(&self) -> (f64, f64) {
        let gaps = self.held.windows(2).map(|pair| (pair[0], pair[1]));
        gaps.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0))).unwrap_or((0.0, 0.0))
    }

    /// Where hangers would have to be added so that no gap is wider than `spacing`, evenly within each gap.
    pub fn wanted(&self, spacing: f64) -> Vec<f64> {
        let mut wanted = Vec::new();
        for pair in self.held.windows(2) {
            let gap = pair[1] - pair[0];
            let parts = ((gap - SLACK) / spacing).ceil().max(1.0);
            wanted.extend((1..parts as usize).map(|i| pair[0] + gap * i as f64 / parts));
        }
        wanted
    }

    /// What it is called: its run and the parts at its ends.
    pub fn name(&self, ctx: &Ctx<'_>) -> String {
        let run = &ctx.rough_in.run(self.run).label;
        match self.ends.1 {
            Some(high) => format!("{run} from {} to {}", ctx.label(self.ends.0), ctx.label(high)),
            None => format!("{run} beyond {}", ctx.label(self.ends.0)),
        }
    }
}

/// Whether the job lists any hanger at all.
pub fn any_listed(ctx: &Ctx<'_>) -> bool {
    ctx.job.provided.iter().any(|p| matches!(p, Provided::Hanger { .. }))
}

/// All spans of new pipe, run by run, outwards.
pub fn spans(ctx: &Ctx<'_>) -> Vec<Span> {
    ctx.rough_in.runs.iter().flat_map(|run| of_run(ctx, run)).collect()
}

/// Heights over its base at which clamps of a stack are listed, those on its fittings among them.
pub fn clamps(ctx: &Ctx<'_>, stack: &Run) -> Vec<f64> {
    let RunKind::Stack { base, .. } = &stack.kind else { return Vec::new() };
    let foot = ctx.placed.origin(*base).z;
    let along = listed(ctx, stack).into_iter().filter_map(|hanger| match hanger {
        Hanger::All => None,
        Hanger::Along(up) => Some(up),
        Hanger::On(part) => Some(ctx.placed.origin(part).z - foot),
    });
    along.collect()
}

/// Whether the job says of a whole run that it is hung.
pub fn is_hung(ctx: &Ctx<'_>, run: &Run) -> bool {
    listed(ctx, run).contains(&Hanger::All)
}

/// A hanger as the job lists it.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Hanger {
    /// All along the run.
    All,
    /// So far along it, or up from a stack's base.
    Along(f64),
    /// On a fitting or piece.
    On(PartId),
}

fn listed(ctx: &Ctx<'_>, run: &Run) -> Vec<Hanger> {
    let of = |item: &Provided| {
        let Provided::Hanger { on, at, .. } = item else { return None };
        let part = || ctx.rough_in.parts.iter().find(|p| p.label == *on && p.run == run.id);
        match (*on == run.label, at) {
            (true, None) => Some(Hanger::All),
            (true, Some(at)) => Some(Hanger::Along(at.to_inches())),
            (false, Some(at)) => part().map(|_| Hanger::Along(at.to_inches())),
            (false, None) => part().map(|p| Hanger::On(p.id)),
        }
    };
    ctx.job.provided.iter().filter_map(of).collect()
}

fn of_run(ctx: &Ctx<'_>, run: &Run) -> Vec<Span> {
    let hangers = listed(ctx, run);
    let foot = match &run.kind {
        RunKind::Stack { base, .. } => Some(ctx.placed.origin(*base).z),
        RunKind::Branch { .. } => None,
    };
    let mut spans: Vec<Span> = Vec::new();
    let mut out = 0.0;
    for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == run.id) {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let axis = ctx.rough_in.leg_axis(ctx.placed, leg.id);
        let level = axis.xy().norm() > axis.z.abs();
        let by = if level { (high - low).xy().norm() } else { (high.z - low.z).abs() };
        let start = match spans.last() {
            Some(last) if last.level == level => last.to,
            _ if level => out,
            _ => foot.map_or(0.0, |foot| low.z - foot),
        };
        if level {
            out += by;
        }
        if spans.last().is_none_or(|s| s.level != level) {
            spans.push(Span {
                run: run.id,
                level,
                ends: (leg.low, leg.high),
                from: start,
                to: start,
                held: vec![start],
                points: Vec::new(),
                fits: vec![(leg.low, start)],
                listed: !hangers.is_empty(),
                pipe: Vec::new(),
                hung: hangers.contains(&Hanger::All),
            });
        }
        let Some(span) = spans.last_mut() else { continue };
        (span.ends.1, span.to) = (leg.high, start + by);
        span.fits.extend(leg.high.map(|high| (high, start + by)));
        span.pipe.push((ctx.rough_in.part(leg.piece.unwrap_or(leg.low)).material, leg.size));
        // A branch's hangers are counted level, a stack's up its riser: only such a span knows where they are.
        let counted = level == foot.is_none();
        hold(ctx, span, leg, start, &hangers, counted);
    }
    for span in &mut spans {
        span.held.extend(span.points.iter());
        span.held.push(span.to);
        span.held.sort_by(f64::total_cmp);
    }
    spans
}

/// Adds the points of a leg at which something holds it.
fn hold(ctx: &Ctx<'_>, span: &mut Span, leg: &Leg, start: f64, hangers: &[Hanger], counted: bool) {
    let (low, _) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
    let within = start..=span.to;
    if span.level
        && let Some(piece) = leg.piece
    {
        let bored = ctx.facts.bores_of(piece).map(|b| start + (b.centre - low).xy().norm());
        span.points.extend(bored.filter(|at| within.contains(at)));
    }
    for hanger in hangers {
        match hanger {
            Hanger::Along(at) if counted && within.contains(at) => span.points.push(*at),
            Hanger::On(part) if *part == leg.low => span.points.push(start),
            Hanger::On(part) if Some(*part) == leg.high => span.points.push(span.to),
            Hanger::On(part) if Some(*part) == leg.piece => span.points.push((start + span.to) / 2.0),
            _ => {}
        }
    }
}
