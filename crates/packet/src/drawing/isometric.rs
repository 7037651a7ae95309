//! The isometric: verticals upright, level runs at 30 degrees, one line a pipe, seen from the low end (open drafting
//! convention: axes 120 degrees apart, equal measure along each).

use super::area::{Spot, spot};
use super::sheet::{Drawn, Sheet, TEXT};
use super::subject::Subject;
use nalgebra::Point3;
use truefall_model::job::pipes::End;
use truefall_model::place::{PartKind, RunKind};

/// Paper to the inch of the house.
const SCALE: f64 = 2.0;

/// Which of the four corners of the house one looks from.
#[derive(Debug, Clone, Copy)]
pub struct View {
    quarter: usize,
}

impl View {
    /// The corner the bases are nearest to: the low end.
    fn of(subject: &Subject<'_>) -> Self {
        let rough_in = subject.rough_in();
        let ends = rough_in.legs.iter().flat_map(|l| {
            let (a, b) = rough_in.leg_ends(subject.placed(), l.id);
            [a, b]
        });
        let (mut n, mut sum) = (0.0, Point3::origin().coords);
        for end in ends {
            n += 1.0;
            sum += end.coords;
        }
        let middle = sum / f64::max(n, 1.0);
        let base = rough_in.runs.iter().find_map(|run| match run.kind {
            RunKind::Stack { base, .. } => Some(subject.placed().origin(base).coords),
            RunKind::Branch { .. } => None,
        });
        let off = base.map_or(nalgebra::Vector3::zeros(), |b| b - middle);
        let depth = |quarter: usize| {
            let (u, v) = Self { quarter }.turned(off.x, off.y);
            u + v
        };
        let quarter = (0..4).min_by(|a, b| depth(*a).total_cmp(&depth(*b))).unwrap_or(0);
        Self { quarter }
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
        spot((u - v) * cos * SCALE, -(p.z + (u + v) * sin) * SCALE)
    }
}

/// The whole system.
pub fn isometric(subject: &Subject<'_>) -> Drawn {
    let (rough_in, placed) = (subject.rough_in(), subject.placed());
    let view = View::of(subject);
    let mut sheet = Sheet::new(
        "isometric of drains and vents",
        "Single-line isometric: verticals upright, level runs at 30 degrees. Drains solid, vents dashed, existing work \
         thick and broken. Sizes stand on each length, fixture letters in circles.",
    );
    for leg in &rough_in.legs {
        let (low, high) = rough_in.leg_ends(placed, leg.id);
        if (high - low).norm() < 0.5 {
            continue;
        }
        let (a, b) = (view.project(low), view.project(high));
        let carries = subject.units.get(&leg.id);
        sheet.way(&[a, b], if carries.is_some() { "drain" } else { "vent" });
        if carries.is_some() {
            arrow(&mut sheet, b, a);
        }
    }
    for run in &rough_in.runs {
        if let RunKind::Stack { base, .. } = run.kind {
            let at = placed.origin(base);
            let way = placed.axis(rough_in, base, 0);
            sheet.way(&[view.project(at), view.project(at - way * 14.0)], "old");
            if let PartKind::Existing { size, .. } = &rough_in.part(base).kind {
                sheet.ask(view.project(at - way * 14.0), format!("{}: existing {size} in", run.label), "b");
            }
        }
    }
    for landing in &placed.landings {
        sheet.ask_ringed(view.project(landing.at), subject.letter(landing.fixture), "b");
    }
    for run in &rough_in.runs {
        let Some(piece) = run.last_piece.filter(|_| ends_in_roof(subject, &run.kind)) else { continue };
        sheet.ask(view.project(placed.stop(rough_in, piece, 1)), "vent through roof", "q");
    }
    for leg in &rough_in.legs {
        let (low, high) = rough_in.leg_ends(placed, leg.id);
        if (high - low).norm() < 0.5 {
            continue;
        }
        let middle = view.project(nalgebra::center(&low, &high));
        let grade = rough_in.grade(placed, leg.id).map(|g| g.to_per_foot());
        let mut told = format!("{} in", leg.size);
        if let Some(units) = subject.units.get(&leg.id) {
            told.push_str(&format!(" · {units} fu"));
            if let Some(grade) = grade {
                told.push_str(&format!(" · {} falls", say_grade(grade)));
            }
        }
        sheet.ask(middle, told, "t");
    }
    for part in rough_in.parts.iter().filter(|p| p.pattern().is_some()) {
        sheet.ask(view.project(placed.origin(part.id)), part.label.to_string(), "b");
    }
    legend(&mut sheet);
    sheet.finish()
}

fn say_grade(in_per_ft: f64) -> String {
    format!("{in_per_ft:.3}/ft")
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

fn legend(sheet: &mut Sheet) {
    let low = sheet.low();
    let (x, mut y) = (low.x, low.y + 30.0);
    for (class, text) in
        [("drain", "drain; the arrow is the way waste goes"), ("vent", "vent, dry"), ("old", "existing work")]
    {
        sheet.way(&[spot(x, y), spot(x + 40.0, y)], class);
        sheet.fix_left(spot(x + 48.0, y), text, "t", TEXT);
        y += 18.0;
    }
    sheet.fix_left(
        spot(x, y),
        "fu: fixture units · falls: inches per foot, as found · letters: see the list of fixtures",
        "q",
        TEXT,
    );
}
