//! A stack from its base up: each fitting with its height and clock, each piece with its cut, to scale.

use super::area::{Spot, spot};
use super::drawn::Drawn;
use super::outline::round;
use super::paper::fitted;
use super::sheet::Sheet;
use super::subject::Subject;
use nalgebra::Point3;
use truefall_model::place::{Run, RunKind};

/// Paper to the inch of the house, and less where a sheet would be too small for the words.
const SCALE: f64 = 3.4;

/// One stack; none for a branch.
pub fn stack(subject: &Subject<'_>, run: &Run) -> Option<Drawn> {
    fitted(SCALE, |scale| at_scale(subject, run, scale))
}

fn at_scale(subject: &Subject<'_>, run: &Run, scale: f64) -> Option<Drawn> {
    let RunKind::Stack { base, .. } = run.kind else { return None };
    let (rough_in, placed, say) = (subject.rough_in(), subject.built(), subject.say);
    let start = placed.origin(base);
    let at = |p: Point3<f64>| -> Spot { spot((p.x - start.x) * scale, -(p.z - start.z) * scale) };
    let mut sheet = Sheet::new(
        format!("stack {}, seen from -y", run.label),
        format!(
            "Elevation of the stack {}: fittings with their heights at the right, cut lengths at the left.",
            run.label
        ),
    );
    let parts: Vec<_> = std::iter::once(base)
        .chain(run.fits.iter().flat_map(|(piece, part)| piece.iter().copied().chain([*part])))
        .chain(run.last_piece)
        .collect();
    for part in &parts {
        for (a, b, radius) in subject.rounds(*part) {
            round(&mut sheet, at(a), at(b), radius * scale, subject.look(*part));
        }
    }
    let top = run.last_piece.map_or(start, |p| placed.stop(rough_in, p, 1));
    // A stack with an offset goes far aside; the columns stand beside all of it.
    let (least, most) = sheet.sides();
    let (least, most) = (least.min(-60.0) - 20.0, most.max(40.0) + 20.0);
    let crossed = |z: f64| z > start.z - 12.0 && z < top.z + 12.0;
    for floor in rough_in.framed.floors.iter().filter(|f| crossed(f.rough_z)) {
        let y = at(Point3::new(start.x, start.y, floor.rough_z)).y;
        sheet.way(&[spot(least, y), spot(most, y)], "floor");
    }
    let mut right: Vec<(Spot, String)> = Vec::new();
    let mut left: Vec<(Spot, String)> = Vec::new();
    for floor in rough_in.framed.floors.iter().filter(|f| crossed(f.rough_z)) {
        right.push((
            spot(most, at(Point3::new(start.x, start.y, floor.rough_z)).y),
            format!("{} rough", floor.label),
        ));
    }
    let placement = placed.placement.word();
    let rows = subject
        .examined
        .report
        .stack
        .iter()
        .filter(|r| r.placement == placement && run.label.as_str() == r.stack);
    let mut below: Option<[f64; 3]> = None;
    for row in rows {
        let point = at(Point3::from(row.at));
        let height = match (row.rough, &row.floor) {
            (Some(rough), Some(floor)) => format!("{} off {floor} rough", say.length(rough)),
            _ => String::new(),
        };
        let clock = row.clock.as_ref().map_or_else(String::new, |c| format!(" · clock {c}"));
        right.push((point, format!("{}: {} · {height}{clock}", row.label, row.fitting)));
        if let (Some(cut), Some(low)) = (row.cut, below) {
            let middle = nalgebra::center(&Point3::from(low), &Point3::from(row.at));
            left.push((at(middle), format!("cut {}", say.length(cut))));
        }
        below = Some(row.at);
    }
    sheet.column(most + 30.0, &right, true, "t");
    sheet.column(least - 20.0, &left, false, "b");
    Some(sheet.finish())
}
