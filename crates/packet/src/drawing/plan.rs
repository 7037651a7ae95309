//! A floor seen from above: joists, walls, pipe below and on it, holes in joists, fixtures.

use super::area::{Spot, spot};
use super::drawn::Drawn;
use super::paper::fitted;
use super::sheet::{Sheet, TEXT};
use super::subject::Subject;
use crate::report::stack::floor_at;
use nalgebra::Point2;
use truefall_model::framing::space::FloorSpace;
use truefall_plan::holes::HoleSchedule;

/// Paper to the inch of the house, and less where a sheet would be too small for the words.
const SCALE: f64 = 1.9;

/// Fittings nearer to each other than this on the plan, inches, are told in one text.
const OVER: f64 = 3.0;

/// One floor; none where nothing of the job is on it.
pub fn plan(subject: &Subject<'_>, holes: &HoleSchedule, floor: &FloorSpace) -> Option<Drawn> {
    fitted(SCALE, |scale| at_scale(subject, holes, floor, scale))
}

fn at_scale(subject: &Subject<'_>, holes: &HoleSchedule, floor: &FloorSpace, scale: f64) -> Option<Drawn> {
    let at = |p: Point2<f64>| -> Spot { spot(p.x * scale, -p.y * scale) };
    let (rough_in, placed, say) = (subject.rough_in(), subject.built(), subject.say);
    let legs: Vec<_> = rough_in
        .legs
        .iter()
        .filter(|l| {
            let (a, b) = rough_in.leg_ends(placed, l.id);
            floor_at(&rough_in.framed, nalgebra::center(&a, &b)).is_some_and(|f| f.id == floor.id)
        })
        .collect();
    if legs.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(
        format!("plan of floor: {}", floor.label),
        format!(
            "Plan of the floor {}: joists thin, walls filled, drains thick, vents dashed, as {}.",
            floor.label, placed.placement
        ),
    );
    for member in rough_in.framed.members.iter().filter(|m| m.floor == Some(floor.id) && m.kind.is_joist()) {
        let (low, high) = member.bounds();
        sheet.block(at(low.xy()), at(high.xy()), "thin");
    }
    for wall in rough_in.framed.walls.iter().filter(|w| w.floor == floor.id) {
        let outline: Vec<Spot> =
            [(0.0, 0.0), (wall.length, 0.0), (wall.length, -wall.depth), (0.0, -wall.depth)]
                .map(|(along, out)| at(wall.at(along, out)))
                .to_vec();
        sheet.patch(&outline, "wood");
        sheet.ask(at(wall.at(wall.length / 2.0, 8.0)), wall.label.to_string(), "q");
    }
    for landing in placed.landings.iter().filter(|l| subject.job.fixtures[l.fixture].floor == floor.label) {
        sheet.ask_ringed(at(landing.at.xy()), subject.letter(landing.fixture), "b");
    }
    let mut upright = Vec::new();
    for leg in &legs {
        let (a, b) = rough_in.leg_ends(placed, leg.id);
        let class = if subject.units.contains_key(&leg.id) { "drain" } else { "vent" };
        if (a.xy() - b.xy()).norm() < 2.0 {
            // A ring: dashes on so small a round would be crumbs.
            sheet.round(at(a.xy()), leg.size.nominal().to_inches() / 2.0 * scale, "drain");
            upright.push((a.xy(), leg.size, class));
            continue;
        }
        sheet.way(&[at(a.xy()), at(b.xy())], class);
        sheet.ask(
            at(nalgebra::center(&a, &b).xy()),
            format!("{} in, {}", leg.size, say.length((a - b).xy().norm())),
            "t",
        );
    }
    for hole in &holes.members {
        let Some(member) = rough_in.framed.member_of(hole.member) else { continue };
        if member.floor == Some(floor.id) && member.kind.is_joist() {
            let words =
                format!("no. {}: {}, hole {}", hole.number, hole.label, say.length(hole.hole.to_inches()));
            sheet.ask(at(hole.centre.xy()), words, "red");
        }
    }
    let shown = |p: &&truefall_model::place::Part| {
        p.pattern().is_some()
            && floor_at(&rough_in.framed, placed.origin(p.id)).is_some_and(|f| f.id == floor.id)
    };
    // Fittings over each other, as on a riser, are one point on the plan: told together, from the base up.
    let mut over: Vec<(Point2<f64>, Vec<&str>)> = Vec::new();
    for part in rough_in.parts.iter().filter(shown) {
        let (point, label) = (placed.origin(part.id).xy(), part.label.as_str());
        match over.iter_mut().find(|(at, _)| (*at - point).norm() < OVER) {
            Some((_, labels)) => labels.push(label),
            None => over.push((point, vec![label])),
        }
    }
    // What only passes through the floor has no fitting to be known by.
    upright.retain(|(point, ..)| over.iter().all(|(at, _)| (*at - *point).norm() >= OVER));
    for (i, (point, size, class)) in upright.iter().enumerate() {
        if upright[..i].iter().all(|(other, ..)| (*other - *point).norm() >= OVER) {
            sheet.ask(at(*point), format!("{size} in {class}, plumb"), "t");
        }
    }
    for (point, labels) in over {
        sheet.ask(at(point), labels.join(", "), "b");
    }
    let low = sheet.low();
    sheet.fix_left(
        spot(low.x, low.y + 26.0),
        "+y of the job is up · lengths are level, centre to centre · letters: see the list of fixtures",
        "q",
        TEXT,
    );
    Some(sheet.finish())
}
