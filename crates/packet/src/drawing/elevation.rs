//! A wall seen from its room: true studs and plates, the holes in them, pipe in the wall, heights off one floor.

use super::area::{Spot, spot};
use super::drawn::Drawn;
use super::letters::width;
use super::outline::round;
use super::paper::fitted;
use super::sheet::{Sheet, TEXT, spread};
use super::subject::Subject;
use crate::say::Say;
use nalgebra::Point3;
use truefall_check::bore::Shape;
use truefall_check::vent::rim;
use truefall_model::framing::space::WallSpace;
use truefall_model::solid::Body;
use truefall_plan::holes::{Datum, HoleSchedule, MemberHole};

/// Paper to the inch of the house, and less where a sheet would be too small for the words.
const SCALE: f64 = 3.6;
/// How far below the bottom plate and above the top one pipe is still shown.
const BEYOND: f64 = 10.0;

struct View<'w> {
    wall: &'w WallSpace,
    scale: f64,
}

impl View<'_> {
    /// One looks out of the room at the wall, so its `from` corner is on the right hand.
    fn at(&self, along: f64, z: f64) -> Spot {
        spot((self.wall.length - along) * self.scale, (self.wall.z1 - z) * self.scale)
    }

    fn project(&self, p: Point3<f64>) -> Spot {
        self.at(self.wall.measure(p.xy()).0, p.z)
    }
}

/// One wall; none where no pipe and no hole is in it.
pub fn elevation(subject: &Subject<'_>, holes: &HoleSchedule, wall: &WallSpace) -> Option<Drawn> {
    fitted(SCALE, |scale| at_scale(subject, holes, wall, scale))
}

fn at_scale(subject: &Subject<'_>, holes: &HoleSchedule, wall: &WallSpace, scale: f64) -> Option<Drawn> {
    let (rough_in, say) = (subject.rough_in(), subject.say);
    let view = View { wall, scale };
    let floor = rough_in.framed.floor_of(wall.floor)?;
    let inside = |body: &Body| {
        let Body::Cylinder { a, b, radius_in } = *body else { return false };
        let middle = nalgebra::center(&a, &b);
        let (along, out) = wall.measure(middle.xy());
        (-2.0..=wall.length + 2.0).contains(&along)
            && out - radius_in < wall.finish_room + 4.0
            && out + radius_in > -wall.depth
            && middle.z > wall.z0 - BEYOND
            && middle.z < wall.z1 + BEYOND
    };
    let parts: Vec<_> = rough_in
        .parts
        .iter()
        .filter(|p| subject.built().bodies_of(p.id).iter().any(inside))
        .map(|p| p.id)
        .collect();
    let bores: Vec<&MemberHole> = holes
        .members
        .iter()
        .filter(|h| rough_in.framed.member_of(h.member).is_some_and(|m| m.wall == Some(wall.id)))
        .collect();
    if parts.is_empty() && bores.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(
        format!("{}, seen from the room", wall.label),
        format!(
            "Wall elevation of {}, as {}. Studs, plates, holes and pipe to scale; heights off {} rough, lengths from the \
             right-hand corner.",
            wall.label,
            subject.built().placement,
            floor.label
        ),
    );
    let (right, left) = (view.at(0.0, wall.z0).x, view.at(wall.length, wall.z0).x);
    let mut marks: Vec<f64> = Vec::new();
    for member in rough_in.framed.members.iter().filter(|m| m.wall == Some(wall.id)) {
        let (low, high) = corners(wall, member.corners());
        sheet.block(view.at(low.0, low.1), view.at(high.0, high.1), "wood");
        if member.kind.is_upright() && low.1 < wall.z0 + 6.0 {
            marks.push(low.0);
        }
    }
    for keep_out in rough_in.framed.keep_outs.iter().filter(|k| k.wall == Some(wall.id)) {
        let (low, high) = {
            let (along, _) = wall.measure(keep_out.pose.translation.vector.xy().into());
            let z = keep_out.pose.translation.vector.z;
            ((along - keep_out.half.x, z - keep_out.half.z), (along + keep_out.half.x, z + keep_out.half.z))
        };
        sheet.block(view.at(low.0, low.1), view.at(high.0, high.1), "keep");
        sheet.ask(view.at((low.0 + high.0) / 2.0, high.1 - 4.0), keep_out.label.to_string(), "q");
    }
    for part in &parts {
        for body in subject.built().bodies_of(*part).iter().filter(|b| inside(b)) {
            if let Body::Cylinder { a, b, radius_in } = *body {
                let clip = |p: Point3<f64>, q: Point3<f64>| {
                    let z = p.z.clamp(wall.z0 - BEYOND, wall.z1 + BEYOND);
                    if (p.z - q.z).abs() > 1e-6 { p + (q - p) * ((z - p.z) / (q.z - p.z)) } else { p }
                };
                round(
                    &mut sheet,
                    view.project(clip(a, b)),
                    view.project(clip(b, a)),
                    radius_in * scale,
                    subject.look(*part),
                );
            }
        }
    }
    // Pipe may go on past the wall's end.
    let (least, most) = sheet.sides();
    let (left, right) = (left.min(least), right.max(most));
    for (z, name) in [(floor.finished_z, "finished"), (floor.rough_z, "rough")] {
        let y = view.at(0.0, z).y;
        sheet.way(&[spot(left - 20.0, y), spot(right + 20.0, y)], "floor");
        sheet.ask(spot(right + 24.0, y), format!("{} {name}", floor.label), "q");
    }
    // A vent may lie flat only this far over the rim of what it serves; the figure is the profile's.
    let over = subject.examined.profile.find("vent-flat-over-rim").map_or(6.0, |f| f.length().to_inches());
    let rims = subject.job.fixtures.iter().enumerate().filter(|(_, f)| f.wall.as_ref() == Some(&wall.label));
    let highest = rims
        .filter_map(|(i, _)| rim(subject.job, rough_in, subject.catalog, i))
        .map(|r| r.z)
        .reduce(f64::max);
    if let Some(z) = highest.map(|z| z + over) {
        let y = view.at(0.0, z).y;
        sheet.way(&[spot(left - 10.0, y), spot(right + 10.0, y)], "rim");
        sheet.ask(
            spot(right + 14.0, y),
            format!(
                "highest rim + {} = {}: no flat vent below",
                say.length(over),
                say.length(z - floor.rough_z)
            ),
            "red",
        );
    }
    for hole in &bores {
        let Some(member) = rough_in.framed.member_of(hole.member) else { continue };
        let at = view.project(hole.centre);
        let (bit, through) = (hole.hole.to_inches() * scale, member.half.x * 2.0 * scale);
        let (wide, tall) = if member.kind.is_flat() { (bit, through) } else { (through, bit) };
        sheet.block(
            spot(at.x - wide / 2.0, at.y - tall / 2.0),
            spot(at.x + wide / 2.0, at.y + tall / 2.0),
            "bore",
        );
    }
    // Holes told alike that follow each other, such as those in two plates, are told once.
    let told = |hole: &MemberHole| hole_words(say, hole, wall);
    for alike in bores.chunk_by(|a, b| told(a) == told(b)) {
        let numbers: Vec<String> = alike.iter().map(|h| h.number.to_string()).collect();
        let words = format!("no. {}: {}", numbers.join(", "), told(alike[0]));
        sheet.ask(view.project(alike[0].centre), words, "red");
    }
    let mut heights: Vec<(Spot, String)> = Vec::new();
    for part in parts.iter().map(|p| rough_in.part(*p)).filter(|p| p.pattern().is_some()) {
        let origin = subject.built().origin(part.id);
        if origin.z > wall.z0 - BEYOND && origin.z < wall.z1 + BEYOND {
            heights.push((
                view.project(origin),
                format!("{}  {}", part.label, say.length(origin.z - floor.rough_z)),
            ));
        }
    }
    sheet.column(left - 30.0, &heights, false, "b");
    marks.sort_by(f64::total_cmp);
    let y = view.at(0.0, wall.z0 - BEYOND).y + 14.0;
    let y = tape(&mut sheet, &view, &marks, y, say);
    sheet.fix_left(
        spot(left, y + 16.0),
        format!(
            "as {}, like the hole schedule · heights off {} rough · no.: hole schedule · tape from the right-hand corner to each stud's near edge",
            subject.built().placement, floor.label
        ),
        "q",
        TEXT,
    );
    Some(sheet.finish())
}

/// A hole as the schedule has it: its bit, and its centre from where the schedule counts it.
fn hole_words(say: Say, hole: &MemberHole, wall: &WallSpace) -> String {
    let at = say.length(hole.at.to_inches());
    let from = match &hole.datum {
        Datum::Floor(_) => "up".to_owned(),
        Datum::Wall(of) if *of == wall.label => "along".to_owned(),
        Datum::Wall(of) => format!("along {of}"),
        Datum::End => "from its end".to_owned(),
    };
    let made = if hole.shape == Shape::Hole { "hole" } else { "cut" };
    format!("{made} {}, {at} {from}", say.length(hole.hole.to_inches()))
}

/// Least and greatest length along the wall and height of a box.
fn corners(wall: &WallSpace, corners: [Point3<f64>; 8]) -> ((f64, f64), (f64, f64)) {
    corners
        .iter()
        .map(|c| (wall.measure(c.xy()).0, c.z))
        .fold(((f64::MAX, f64::MAX), (f64::MIN, f64::MIN)), |(low, high), (a, z)| {
            ((low.0.min(a), low.1.min(z)), (high.0.max(a), high.1.max(z)))
        })
}

/// The running tape under the wall: figures written upwards, as close to their ticks as their neighbours let them.
fn tape(sheet: &mut Sheet, view: &View<'_>, marks: &[f64], y: f64, say: Say) -> f64 {
    let ticks: Vec<(f64, String)> = {
        let mut ticks: Vec<_> = marks.iter().map(|m| (view.at(*m, 0.0).x, say.length(*m))).collect();
        ticks.sort_by(|a, b| a.0.total_cmp(&b.0));
        ticks
    };
    let tall = ticks.iter().map(|(_, words)| width(words, TEXT)).fold(0.0, f64::max);
    let places = spread(&ticks.iter().map(|t| t.0).collect::<Vec<_>>(), TEXT * 1.2 + 2.0);
    for ((x, words), place) in ticks.into_iter().zip(places) {
        sheet.way(&[spot(x, y - 8.0), spot(x, y), spot(place, y + 9.0)], "thin");
        sheet.fix_turned(spot(place, y + 12.0 + width(&words, TEXT) / 2.0), words, "t", TEXT);
    }
    y + 12.0 + tall
}
