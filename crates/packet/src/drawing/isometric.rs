//! The isometric: verticals upright, level runs at 30 degrees, one line a pipe, seen from the low end (open drafting
//! convention: axes 120 degrees apart, equal measure along each).

use super::area::{Spot, spot};
use super::drafted::{Drafted, Node};
use super::drawn::Drawn;
use super::letters::width;
use super::paper::fitted;
use super::sheet::{Sheet, TEXT};
use super::subject::Subject;
use nalgebra::{Point3, Vector3};
use truefall_model::job::pipes::End;
use truefall_model::place::{LegId, PartKind, RunKind};

/// Paper to the inch of the house, and less where a sheet would be too small for the words.
const SCALE: f64 = 2.0;

/// Which of the four corners of the house one looks from.
#[derive(Debug, Clone, Copy)]
pub struct View {
    quarter: usize,
    scale: f64,
}

impl View {
    /// The corner the bases are nearest to: the low end.
    fn of(subject: &Subject<'_>, scale: f64) -> Self {
        let rough_in = subject.rough_in();
        let ends = rough_in.legs.iter().flat_map(|l| {
            let (a, b) = rough_in.leg_ends(subject.built(), l.id);
            [a, b]
        });
        let (mut n, mut sum) = (0.0, Point3::origin().coords);
        for end in ends {
            n += 1.0;
            sum += end.coords;
        }
        let middle = sum / f64::max(n, 1.0);
        let base = rough_in.runs.iter().find_map(|run| match run.kind {
            RunKind::Stack { base, .. } => Some(subject.built().origin(base).coords),
            RunKind::Branch { .. } => None,
        });
        let off = base.map_or(nalgebra::Vector3::zeros(), |b| b - middle);
        let depth = |quarter: usize| {
            let (u, v) = Self { quarter, scale }.turned(off.x, off.y);
            u + v
        };
        let quarter = (0..4).min_by(|a, b| depth(*a).total_cmp(&depth(*b))).unwrap_or(0);
        Self { quarter, scale }
    }

    fn turned(self, x: f64, y: f64) -> (f64, f64) {
        match self.quarter {
            0 => (x, y),
            1 => (y, -x),
            2 => (-x, -y),
            _ => (-y, x),
        }
    }

    /// A point of the house on the sheet.
    pub fn project(self, p: Point3<f64>) -> Spot {
        let (u, v) = self.turned(p.x, p.y);
        let (sin, cos) = (30.0_f64).to_radians().sin_cos();
        spot((u - v) * cos * self.scale, -(p.z + (u + v) * sin) * self.scale)
    }
}

/// The whole system.
pub fn isometric(subject: &Subject<'_>) -> Option<Drawn> {
    fitted(SCALE, |scale| Some(at_scale(subject, scale)))
}

fn at_scale(subject: &Subject<'_>, scale: f64) -> Drawn {
    let (rough_in, placed) = (subject.rough_in(), subject.built());
    let view = View::of(subject, scale);
    let drafted = Drafted::of(subject);
    let mut sheet = Sheet::new(
        "isometric of drains and vents",
        format!(
            "Single-line isometric, not to scale: verticals upright, level runs at 30 degrees, seen from the low end. Drains \
             solid, vents dashed, existing work thick and broken. Sizes stand on each length, fixture letters in circles. \
             Falls as {}.",
            placed.placement.word()
        ),
    );
    let drawn = || rough_in.legs.iter().filter(|l| Drafted::is_drawn(rough_in, placed, l.id));
    let ends = |leg: LegId| {
        let (low, high) = Drafted::ends(rough_in, leg);
        Some((view.project(drafted.node(low)?), view.project(drafted.node(high)?)))
    };
    for leg in drawn() {
        let Some((a, b)) = ends(leg.id) else { continue };
        let carries = subject.units.contains_key(&leg.id);
        sheet.way(&[a, b], if carries { "drain" } else { "vent" });
        if carries {
            arrow(&mut sheet, b, a);
        }
    }
    for run in &rough_in.runs {
        let RunKind::Stack { base, .. } = run.kind else { continue };
        let Some(at) = drafted.part(rough_in, base) else { continue };
        let foot = view.project(at - Vector3::z() * 14.0);
        sheet.way(&[view.project(at), foot], "old");
        if let PartKind::Existing { size, .. } = &rough_in.part(base).kind {
            sheet.ask(foot, format!("{}: existing {size} in", run.label), "b");
        }
    }
    for landing in &placed.landings {
        let at = drafted
            .part(rough_in, landing.part)
            .map_or_else(|| view.project(landing.at), |p| view.project(p));
        sheet.ask_ringed(at, subject.letter(landing.fixture), "b");
    }
    for leg in drawn() {
        let Some((a, b)) = ends(leg.id) else { continue };
        let middle = spot(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        sheet.ask(middle, told(subject, leg.id), "t");
    }
    for run in &rough_in.runs {
        let Some(piece) = run.last_piece.filter(|_| ends_in_roof(subject, &run.kind)) else { continue };
        let at = drafted.part(rough_in, piece).unwrap_or_else(|| placed.stop(rough_in, piece, 1));
        sheet.ask(view.project(at), "vent through roof", "q");
    }
    for part in rough_in.parts.iter().filter(|p| p.pattern().is_some()) {
        if let Some(at) = drafted.node(Node::Part(part.id)) {
            sheet.ask(view.project(at), part.label.to_string(), "b");
        }
    }
    legend(&mut sheet, subject);
    sheet.finish()
}

/// What stands on a length: its size; of a drain also what it carries and how it falls.
fn told(subject: &Subject<'_>, leg: LegId) -> String {
    let rough_in = subject.rough_in();
    let mut told = format!("{} in", rough_in.leg(leg).size);
    if let Some(units) = subject.units.get(&leg) {
        told.push_str(&format!(" \u{b7} {units} fu"));
        if let Some(grade) = rough_in.grade(subject.built(), leg) {
            told.push_str(&format!(" \u{b7} falls {}", subject.say.fall(grade.to_per_foot())));
        }
    }
    told
}

fn ends_in_roof(subject: &Subject<'_>, kind: &RunKind) -> bool {
    let end = match kind {
        RunKind::Stack { index, .. } => &subject.job.stacks[*index].end,
        RunKind::Branch { index, .. } => &subject.job.branches[*index].end,
    };
    matches!(end, End::Roof { .. })
}

/// A head in the middle of a line, pointing from the first point to the second.
fn arrow(sheet: &mut Sheet, from: Spot, to: Spot) {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let long = dx.hypot(dy);
    if long < 14.0 {
        return;
    }
    let (ux, uy) = (dx / long, dy / long);
    let tip = spot(from.x + dx * 0.62, from.y + dy * 0.62);
    let back = spot(tip.x - ux * 10.0, tip.y - uy * 10.0);
    sheet.patch(
        &[tip, spot(back.x - uy * 4.5, back.y + ux * 4.5), spot(back.x + uy * 4.5, back.y - ux * 4.5)],
        "arrow",
    );
}

fn legend(sheet: &mut Sheet, subject: &Subject<'_>) {
    let low = sheet.low();
    let (x, mut y) = (low.x, low.y + 44.0);
    for (class, text) in
        [("drain", "drain; the arrow is the way waste goes"), ("vent", "vent, dry"), ("old", "existing work")]
    {
        sheet.way(&[spot(x, y), spot(x + 40.0, y)], class);
        sheet.fix_left(spot(x + 48.0, y), text, "t", TEXT);
        y += TEXT * 1.6;
    }
    let fall = if subject.say.metric { "inches per foot, mm per m" } else { "inches per foot" };
    let placement = subject.built().placement;
    for text in [
        format!("size: nominal inches \u{b7} fu: fixture units carried \u{b7} falls: {fall}, as {placement}"),
        "not to scale: short lengths are drawn longer, long risers shorter".to_owned(),
    ] {
        sheet.fix_left(spot(x, y), text, "q", TEXT);
        y += TEXT * 1.4;
    }
    y += 8.0;
    let names: Vec<String> = subject
        .job
        .fixtures
        .iter()
        .enumerate()
        .map(|(i, f)| format!("{}  {}", subject.letter(i), f.name))
        .collect();
    let step = names.iter().map(|n| width(n, TEXT)).fold(0.0, f64::max) + 28.0;
    for (i, name) in names.iter().enumerate() {
        let (column, row) = (i / names.len().div_ceil(3), i % names.len().div_ceil(3));
        sheet.fix_left(spot(x + step * column as f64, y + TEXT * 1.4 * row as f64), name.clone(), "t", TEXT);
    }
}
