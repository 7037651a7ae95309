//! Rows of a stack: its base, every fitting upwards, and the end of the piece at its top.

use super::xyz;
use nalgebra::Point3;
use serde::Serialize;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::FloorSpace;
use truefall_model::place::{PartId, PartKind, Placed, RoughIn, Run, RunKind, pointing};

/// One row of a stack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StackRow {
    /// The stack.
    pub stack: String,
    /// The fitting's name in the job.
    pub label: String,
    /// What it is, such as `3x3x2 sanitary tee`.
    pub fitting: String,
    /// Its height off the rough surface of `floor`; the height of what its pattern counts heights from, usually where
    /// its axes cross.
    pub rough: Option<f64>,
    /// Its height off the finished surface of `floor`.
    pub finished: Option<f64>,
    /// The floor it belongs to.
    pub floor: Option<String>,
    /// Where its branch, or the way it turns, points: to the minute of a watch.
    pub clock: Option<String>,
    /// The same, in degrees clockwise from 12.
    pub clock_deg: Option<f64>,
    /// The wall it points to.
    pub wall: Option<String>,
    /// Cut length of the piece below it; none where it sits in the part below.
    pub cut: Option<f64>,
    /// Centre to centre with the part below.
    pub centre: Option<f64>,
    /// Where it is.
    pub at: [f64; 3],
    /// The placement.
    pub placement: &'static str,
}

/// The rows of every stack in one placement.
pub fn rows(rough_in: &RoughIn, placed: &Placed) -> Vec<StackRow> {
    rough_in.runs.iter().flat_map(|run| run_rows(rough_in, placed, run)).collect()
}

fn run_rows(rough_in: &RoughIn, placed: &Placed, run: &Run) -> Vec<StackRow> {
    let RunKind::Stack { base, .. } = run.kind else { return Vec::new() };
    let stack = Stack { rough_in, placed, run };
    let mut rows = vec![stack.base(base)];
    let mut below = placed.origin(base);
    for (piece, part) in &run.fits {
        let origin = placed.origin(*part);
        let mut row = stack.row(*part, origin);
        row.cut = piece.and_then(|p| rough_in.part(p).cut()).map(|c| c.to_inches());
        row.centre = Some((origin - below).norm());
        stack.point(&mut row, *part);
        rows.push(row);
        below = origin;
    }
    rows.extend(run.last_piece.map(|piece| stack.top(piece, below)));
    rows
}

struct Stack<'a> {
    rough_in: &'a RoughIn,
    placed: &'a Placed,
    run: &'a Run,
}

impl Stack<'_> {
    fn row(&self, part: PartId, at: Point3<f64>) -> StackRow {
        // The floor is told on the drawn placement, so that a lean moves no row to another floor.
        let drawn = self.rough_in.drawn.origin(part);
        let floor = floor_at(&self.rough_in.framed, drawn);
        let of = self.rough_in.part(part);
        StackRow {
            stack: self.run.label.to_string(),
            label: of.label.to_string(),
            fitting: of.pattern().map_or_else(String::new, |p| p.name.to_string()),
            rough: floor.map(|f| at.z - f.rough_z),
            finished: floor.map(|f| at.z - f.finished_z),
            floor: floor.map(|f| f.label.to_string()),
            clock: None,
            clock_deg: None,
            wall: None,
            cut: None,
            centre: None,
            at: xyz(at),
            placement: self.placed.placement.word(),
        }
    }

    /// The existing work: its hub's rim or its cut end.
    fn base(&self, base: PartId) -> StackRow {
        let part = self.rough_in.part(base);
        let PartKind::Existing { size, hub, depth, .. } = &part.kind else {
            return self.row(base, self.placed.origin(base));
        };
        let rim = self.placed.world_from_part[base.0 as usize] * Point3::new(0.0, 0.0, depth.to_inches());
        let mut row = self.row(base, rim);
        let end = if *hub { "hub, rim" } else { "pipe, cut end" };
        row.fitting = format!("existing {size} in {} {end}", part.material);
        row
    }

    /// The free end of the piece at the top.
    fn top(&self, piece: PartId, below: Point3<f64>) -> StackRow {
        let part = self.rough_in.part(piece);
        let end = self.placed.stop(self.rough_in, piece, 1);
        let mut row = self.row(piece, end);
        row.fitting = format!("{} in {} pipe, end", part.size(), part.material);
        row.cut = part.cut().map(|c| c.to_inches());
        row.centre = Some((end - below).norm());
        row
    }

    /// Where the fitting's branch, or the way it turns, points.
    fn point(&self, row: &mut StackRow, part: PartId) {
        let Some((clock, wall)) = pointing(self.rough_in, self.placed, part) else { return };
        row.clock = Some(clock.to_string());
        row.clock_deg = Some(clock.angle().to_degrees());
        row.wall = wall.map(|w| w.to_string());
    }
}

/// The floor a height is told from: the highest whose framing is not above it, and over whose outline it is where floors
/// have one; the lowest for what is below them all.
pub(crate) fn floor_at(framed: &Framed, at: Point3<f64>) -> Option<&FloorSpace> {
    let under = |f: &&FloorSpace| f.joists_bottom_z.unwrap_or(f.rough_z - f.subfloor) <= at.z;
    let over = |f: &&FloorSpace| {
        f.outline.is_none_or(|(least, most)| {
            (least.x..=most.x).contains(&at.x) && (least.y..=most.y).contains(&at.y)
        })
    };
    let highest = |a: &&FloorSpace, b: &&FloorSpace| a.rough_z.total_cmp(&b.rough_z);
    let floors = || framed.floors.iter();
    floors()
        .filter(under)
        .filter(over)
        .max_by(highest)
        .or_else(|| floors().filter(under).max_by(highest))
        .or_else(|| floors().min_by(highest))
}
