//! Rows of lean: how far each stack is from plumb, and how well that is known.

use super::xyz;
use nalgebra::{Point3, Vector3};
use serde::Serialize;
use truefall_model::job::Job;
use truefall_model::job::survey::PlumbString;
use truefall_model::place::{PartKind, Placed, RoughIn, Run, RunKind, clock_of};
use truefall_model::survey::{Lean, LineFit};

/// What one plumb string said.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StringRow {
    /// The wall it hung towards, seen from the barrel.
    pub wall: String,
    /// Inches per foot of height towards that wall; below zero away from it.
    pub in_per_ft: f64,
    /// Its standard error.
    pub error: f64,
    /// How many gaps were read.
    pub readings: usize,
    /// The chance of so bad a fit by reading errors alone; none with two readings.
    pub chance: Option<f64>,
}

/// The lean of one stack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeanRow {
    /// The stack.
    pub stack: String,
    /// How far its base leans, inches sideways per foot of height; none where nothing was read.
    pub in_per_ft: Option<f64>,
    /// Standard error of `in_per_ft`.
    pub error: Option<f64>,
    /// Inches per foot of height towards +x and towards +y.
    pub toward: Option<[f64; 2]>,
    /// Where its top leans to, 12 being +y; none where it does not lean.
    pub clock: Option<String>,
    /// The wall it leans towards.
    pub wall: Option<String>,
    /// From the open end of its base to its highest part, as found.
    pub height: f64,
    /// How far that part stands level from where it was drawn, corrections counted.
    pub offset: f64,
    /// What each plumb string said.
    pub strings: Vec<StringRow>,
    /// One string's readings or more lie so badly on a line that one must be off, or the pipe is bent.
    pub doubtful: bool,
    /// The fittings above the joints at which it was corrected.
    pub corrected: Vec<String>,
    /// The open end of its base, from which `height` counts.
    pub at: [f64; 3],
    /// Always `found`: a drawn stack is plumb.
    pub placement: &'static str,
}

/// The lean of every stack.
pub fn rows(job: &Job, rough_in: &RoughIn) -> Vec<LeanRow> {
    rough_in.runs.iter().filter_map(|run| row(job, rough_in, run)).collect()
}

fn row(job: &Job, rough_in: &RoughIn, run: &Run) -> Option<LeanRow> {
    let RunKind::Stack { index, base, lean, fits, corrected } = &run.kind else { return None };
    let found = &rough_in.found;
    let depth = match &rough_in.part(*base).kind {
        PartKind::Existing { depth, .. } => depth.to_inches(),
        _ => 0.0,
    };
    let open = found.world_from_part[base.0 as usize] * Point3::new(0.0, 0.0, depth);
    let top = run.last_piece.or_else(|| run.fits.last().map(|f| f.1)).unwrap_or(*base);
    let end = |placed: &Placed| match run.last_piece {
        Some(piece) => placed.stop(rough_in, piece, 1),
        None => placed.origin(top),
    };
    let (drawn, top) = (end(&rough_in.drawn), end(found));
    let heading = lean.as_ref().and_then(Lean::heading).map(|h| h.into_inner());
    Some(LeanRow {
        stack: run.label.to_string(),
        in_per_ft: lean.map(|l| l.lean_in_per_ft()),
        error: lean.map(|l| l.lean_error_in_per_ft()),
        toward: lean.map(|l| [l.toward_x() * 12.0 + 0.0, l.toward_y() * 12.0 + 0.0]),
        clock: heading.map(|h| clock_of(Vector3::z(), Vector3::new(h.x, h.y, 0.0)).to_string()),
        wall: heading.and_then(|h| rough_in.framed.wall_facing(open, h)).map(|w| w.label.to_string()),
        height: top.z - open.z,
        offset: (top - drawn).xy().norm(),
        strings: job.stacks[*index].lean.iter().zip(fits).map(|(string, fit)| said(string, fit)).collect(),
        doubtful: fits.iter().any(LineFit::fit_doubtful),
        corrected: corrected
            .iter()
            .map(|j| rough_in.part(rough_in.joint(*j).high.0).label.to_string())
            .collect(),
        at: xyz(open),
        placement: found.placement.word(),
    })
}

fn said(string: &PlumbString, fit: &LineFit) -> StringRow {
    StringRow {
        wall: string.toward.to_string(),
        // A gap that shrinks upward leans towards the string.
        in_per_ft: -fit.slope() * 12.0 + 0.0,
        error: fit.slope_error() * 12.0,
        readings: string.gaps.len(),
        chance: fit.p_value(),
    }
}
