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
    /// Where it starts and ends, in inches as [`Counted`] says.
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
    /// How places along its run are counted.
    pub counted: Counted,
}

/// How places along a run are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Of a branch: level, from where it starts.
    Level,
    /// Of a stack that stands on its base: height over it.
    Up,
    /// Of a stack whose base lies, such as a house drain with the riser at its end: along the pipe from the base.
    Along,
}

impl Counted {
    /// The way of a run.
    pub fn of(ctx: &Ctx<'_>, run: &Run) -> Self {
        let first = ctx.rough_in.legs.iter().find(|leg| leg.run == run.id);
        match &run.kind {
            RunKind::Branch { .. } => Self::Level,
            RunKind::Stack { .. } if first.is_some_and(|leg| lies(ctx, leg)) => Self::Along,
            RunKind::Stack { .. } => Self::Up,
        }
    }
}

fn lies(ctx: &Ctx<'_>, leg: &Leg) -> bool {
    let axis = ctx.rough_in.leg_axis(ctx.placed, leg.id);
    axis.xy().norm() > axis.z.abs()
}

impl Span {
    /// Whether a hanger's place says where on this span it is: a branch's are counted level, a stack's up its riser.
    pub fn is_counted(&self) -> bool {
        match self.counted {
            Counted::Level => self.level,
            Counted::Up => !self.level,
            Counted::Along => true,
        }
    }

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
        Hanger::Along(along) => match Counted::of(ctx, stack) {
            Counted::Along => up_at(ctx, stack, along).map(|z| z - foot),
            _ => Some(along),
        },
        Hanger::On(part) => Some(ctx.placed.origin(part).z - foot),
    });
    along.collect()
}

/// The height that a place along a stack's pipe is at, where the pipe stands there.
fn up_at(ctx: &Ctx<'_>, stack: &Run, along: f64) -> Option<f64> {
    let mut out = 0.0;
    for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == stack.id) {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let by = length(ctx, leg);
        if !lies(ctx, leg) && (out..=out + by).contains(&along) {
            return Some(low.z + (along - out) * (high.z - low.z).signum());
        }
        out += by;
    }
    None
}

/// How long a leg counts: level where it lies, in height where it stands.
fn length(ctx: &Ctx<'_>, leg: &Leg) -> f64 {
    let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
    if lies(ctx, leg) { (high - low).xy().norm() } else { (high.z - low.z).abs() }
}

/// Where along a stack whose base lies a height over that base is, on the riser nearest to it; the height itself of any other.
pub fn along_at(ctx: &Ctx<'_>, stack: &Run, up: f64) -> f64 {
    let RunKind::Stack { base, .. } = &stack.kind else { return up };
    if Counted::of(ctx, stack) != Counted::Along {
        return up;
    }
    let z = ctx.placed.origin(*base).z + up;
    let mut out = 0.0;
    let mut found = None;
    for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == stack.id) {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let (bottom, top) = (low.z.min(high.z), low.z.max(high.z));
        if !lies(ctx, leg) && (bottom..=top).contains(&z) {
            found = Some(out + (z - low.z).abs());
        }
        out += length(ctx, leg);
    }
    found.unwrap_or(up)
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
    /// So far along it, as [`Counted`] says.
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
    let counted = Counted::of(ctx, run);
    let mut spans: Vec<Span> = Vec::new();
    let mut out = 0.0;
    for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == run.id) {
        let (low, _) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let (level, by) = (lies(ctx, leg), length(ctx, leg));
        let start = match spans.last() {
            Some(last) if last.level == level => last.to,
            _ if level || counted == Counted::Along => out,
            _ => foot.map_or(0.0, |foot| low.z - foot),
        };
        if level || counted == Counted::Along {
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
                counted,
            });
        }
        let Some(span) = spans.last_mut() else { continue };
        (span.ends.1, span.to) = (leg.high, start + by);
        span.fits.extend(leg.high.map(|high| (high, start + by)));
        span.pipe.push((ctx.rough_in.part(leg.piece.unwrap_or(leg.low)).material, leg.size));
        hold(ctx, span, leg, start, &hangers);
    }
    for span in &mut spans {
        span.held.extend(span.points.iter());
        span.held.push(span.to);
        span.held.sort_by(f64::total_cmp);
    }
    spans
}

/// Adds the points of a leg at which something holds it.
fn hold(ctx: &Ctx<'_>, span: &mut Span, leg: &Leg, start: f64, hangers: &[Hanger]) {
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
            Hanger::Along(at) if span.is_counted() && within.contains(at) => span.points.push(*at),
            Hanger::On(part) if *part == leg.low => span.points.push(start),
            Hanger::On(part) if Some(*part) == leg.high => span.points.push(span.to),
            Hanger::On(part) if Some(*part) == leg.piece => span.points.push((start + span.to) / 2.0),
            _ => {}
        }
    }
}
