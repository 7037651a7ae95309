//! What a finding measures, as a line between two points of the scene: a gap, a hole's edge, a fall, a lean, an arm, a height, a
//! clearance.
//!
//! Rules tell a number and what it is about, not its two ends. The ends are looked for among the points that the named things
//! have: fittings, ports, weirs, landings, faces, floors, the roof. A line is drawn only where its own length is the number the
//! rule told, to a thousandth of an inch; where none is, the number is written at the finding's place and no line is drawn.

use crate::hold::trade;
use crate::loaded::Loaded;
use nalgebra::{Isometry3, Point3, Vector3};
use truefall_check::bore::{Bore, Shape};
use truefall_check::finding::{Finding, Limit};
use truefall_model::framing::member::Member;
use truefall_model::job::Placement;

/// How well a line must agree with the number told, inches.
const AGREES_IN: f64 = 1e-3;

/// A measure in the scene; job axes, inches.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dimension {
    /// Its two ends; the same point twice where the number has no line.
    pub(crate) ends: [Point3<f64>; 2],
    /// Which of them stand on the pipe, and so go with a lean that is exaggerated.
    pub(crate) on_pipe: [bool; 2],
    /// What is written on it.
    pub(crate) text: String,
}

impl Dimension {
    /// Whether there is a line to draw.
    pub(crate) fn line(&self) -> bool {
        (self.ends[1] - self.ends[0]).norm() > AGREES_IN
    }
}

/// The measure of a finding; none where it measures nothing or has no place.
pub(crate) fn of(loaded: &Loaded, finding: usize) -> Option<Dimension> {
    let f = loaded.seen.findings.get(finding)?;
    let measured = f.measured?;
    let text = told(f, measured);
    let found = match f.unit {
        "in/ft" => fall(loaded, f, measured).or_else(|| lean(loaded, f)),
        "in" if measured.abs() > AGREES_IN && !NO_ENDS.contains(&f.rule) => misfit(loaded, f, measured)
            .or_else(|| in_wood(loaded, f, measured.abs()))
            .or_else(|| between(loaded, f, measured.abs())),
        _ => None,
    };
    if let Some((ends, on_pipe, more)) = found {
        return Some(Dimension { ends, on_pipe, text: format!("{text}{more}") });
    }
    let at = loaded.anchor(finding)?;
    Some(Dimension { ends: [at, at], on_pipe: [true, true], text })
}

/// Rules whose number is a size of pipe, how deep one thing is in another, or a difference of two sizes: nothing in the house is
/// so long, and a line that happens to be would mislead.
const NO_ENDS: [&str; 18] = [
    "circuit-vent-too-small",
    "clash-with-wood",
    "cleanout-too-small",
    "coupling-does-not-fit",
    "drain-shrinks-downstream",
    "drain-too-small-for-fixture",
    "iron-straight-too-short",
    "joint-over-deflected",
    "main-vent-too-small",
    "pipe-against-pipe",
    "pipe-in-keep-out",
    "stated-hole-too-small",
    "stud-hole-beside-notch",
    "trap-larger-than-drain",
    "trap-seal-out-of-range",
    "trap-too-small",
    "vent-frost-too-small",
    "vent-too-small",
];

type Found = ([Point3<f64>; 2], [bool; 2], String);

/// The number and what it is held to.
fn told(f: &Finding, measured: f64) -> String {
    let say = |v: f64| match f.unit {
        "in" => trade(v),
        "in/ft" => format!("{v:.3} in per ft"),
        "deg" => format!("{v:.1}\u{b0}"),
        "share" => format!("{:.0} %", v * 100.0),
        "dfu" => format!("{v} fixture units"),
        _ => format!("{v}"),
    };
    let limit = match f.limit {
        Some(Limit::AtLeast(l)) => format!(", at least {}", say(l)),
        Some(Limit::AtMost(l)) => format!(", at most {}", say(l)),
        Some(Limit::Between(l, m)) => format!(", {} to {}", say(l), say(m)),
        None => String::new(),
    };
    let deep = matches!(f.rule, "clash-with-wood" | "pipe-against-pipe" | "pipe-in-keep-out");
    format!("{}{}{limit}", say(measured), if deep { " deep in it" } else { "" })
}

fn named(f: &Finding, name: &str) -> bool {
    f.labels.iter().any(|l| l.as_str() == name)
}

/// The leg that falls so.
fn fall(loaded: &Loaded, f: &Finding, grade: f64) -> Option<Found> {
    let leg = loaded.seen.report.legs.iter().find(|l| {
        l.placement == f.placement.word()
            && l.grade.is_some_and(|g| (g - grade).abs() < 1e-6)
            && (named(f, &l.run) || l.label.as_ref().is_some_and(|n| named(f, n)))
    })?;
    let ends = [Point3::from(leg.from), Point3::from(leg.to)];
    Some((ends, [true, true], format!(", over {}", trade(leg.level))))
}

/// From where the top of a stack would stand plumb to where it stands.
fn lean(loaded: &Loaded, f: &Finding) -> Option<Found> {
    let row = loaded.seen.report.lean.iter().find(|r| named(f, &r.stack))?;
    let toward = row.toward?;
    let plumb = Point3::from(row.at) + Vector3::z() * row.height;
    let top = plumb + Vector3::new(toward[0], toward[1], 0.0) * (row.height / 12.0);
    let more = format!(", {} at {} up", trade((top - plumb).norm()), trade(row.height));
    Some(([plumb, top], [false, false], more))
}

/// From where a pipe lands to where its fixture needs it.
fn misfit(loaded: &Loaded, f: &Finding, misfit: f64) -> Option<Found> {
    let landing = loaded.seen.report.landings.iter().find(|l| {
        l.placement == f.placement.word()
            && named(f, &l.fixture)
            && named(f, &l.run)
            && (l.misfit - misfit).abs() < AGREES_IN
    })?;
    Some(([Point3::from(landing.at), Point3::from(landing.wants)], [true, false], String::new()))
}

/// A hole's breadth, what is left beside it, what is between two holes, how deep or long a notch is.
fn in_wood(loaded: &Loaded, f: &Finding, measured: f64) -> Option<Found> {
    let framed = &loaded.seen.rough_in.framed;
    let bores: Vec<(&Bore, &Member)> = loaded
        .seen
        .bores
        .iter()
        .filter(|b| b.placement == f.placement)
        .filter_map(|b| Some((b, framed.member_of(b.member)?)))
        .filter(|(_, m)| named(f, m.label.as_str()))
        .collect();
    let agrees = |v: f64| (v - measured).abs() < AGREES_IN;
    let fixed = |a, b| Some(([a, b], [false, false], String::new()));
    for (bore, m) in &bores {
        let deep = m.deep().into_inner();
        let (low, high) = (bore.cut.low.to_inches(), bore.cut.high.to_inches());
        let hole = bore.drilled.hole.to_inches();
        let to_low = m.half.y + (bore.centre - m.centre()).dot(&deep);
        let foot = bore.centre - deep * to_low;
        let head = foot + deep * (2.0 * m.half.y);
        if agrees(hole) {
            return fixed(bore.centre - deep * (hole / 2.0), bore.centre + deep * (hole / 2.0));
        }
        for (face, way, left) in [(foot, deep, low), (head, -deep, high)] {
            if agrees(left) {
                return fixed(face, face + way * left);
            }
            // A notch goes in from its open face as far as the wood behind it begins.
            let depth = 2.0 * m.half.y - left;
            if agrees(depth) && left > 0.0 {
                return fixed(face + way * left, face + way * (left + depth));
            }
        }
        if let Shape::Notch { length, .. } = bore.cut.shape
            && agrees(length.to_inches())
        {
            let half = m.lengthwise().into_inner() * (measured / 2.0);
            return fixed(bore.centre - half, bore.centre + half);
        }
    }
    for (i, (one, m)) in bores.iter().enumerate() {
        let along = m.lengthwise().into_inner();
        for (other, _) in bores[i + 1..].iter().filter(|(b, _)| b.member == one.member) {
            let apart = (other.centre - one.centre).dot(&along);
            let way = along * apart.signum();
            let half = |b: &Bore| match b.cut.shape {
                Shape::Notch { length, .. } => length.to_inches() / 2.0,
                _ => b.drilled.hole.to_inches() / 2.0,
            };
            let (a, b) = (half(one), half(other));
            if agrees(apart.abs() - a - b) {
                let from = one.centre + way * a;
                return fixed(from, from + way * measured);
            }
        }
    }
    None
}

/// A point that a named thing has, and whether it goes with the pipe.
#[derive(Clone, Copy)]
struct Spot(Point3<f64>, bool);

/// Two points that are so far apart: straight, up and down, level, or along one side of the house.
fn between(loaded: &Loaded, f: &Finding, measured: f64) -> Option<Found> {
    let near = spots(loaded, f, false);
    find(&near, &faces(loaded, f, &near), measured)
        .or_else(|| {
            let all = spots(loaded, f, true);
            find(&all, &faces(loaded, f, &all), measured)
        })
        .map(|(ends, on_pipe)| (ends, on_pipe, String::new()))
}

fn find(spots: &[Spot], faces: &[Spot], measured: f64) -> Option<([Point3<f64>; 2], [bool; 2])> {
    let agrees = |v: f64| (v.abs() - measured).abs() < AGREES_IN;
    let ways: [fn(Vector3<f64>) -> Vector3<f64>; 5] = [
        |d| d,
        |d| Vector3::new(0.0, 0.0, d.z),
        |d| Vector3::new(d.x, d.y, 0.0),
        |d| Vector3::new(d.x, 0.0, 0.0),
        |d| Vector3::new(0.0, d.y, 0.0),
    ];
    for way in ways {
        for (i, Spot(a, pipe)) in spots.iter().enumerate() {
            for Spot(b, other) in faces.iter().chain(&spots[i + 1..]) {
                let d = way(b - a);
                if agrees(d.norm()) {
                    return Some(([*a, a + d], [*pipe, *other]));
                }
            }
        }
    }
    None
}

/// The finding's place and the points of what it names; with `whole`, of all parts on the runs it names.
fn spots(loaded: &Loaded, f: &Finding, whole: bool) -> Vec<Spot> {
    let rough_in = &loaded.seen.rough_in;
    let placed = rough_in.placed(f.placement);
    let mut spots: Vec<Spot> = f.at.map(|at| Spot(at, true)).into_iter().collect();
    for landing in &placed.landings {
        let of_run = named(f, rough_in.run(landing.run).label.as_str());
        if named(f, loaded.job.fixtures[landing.fixture].name.as_str()) || of_run {
            spots.extend(landing.weir.map(|w| Spot(w, true)));
            spots.extend([Spot(landing.at, true), Spot(landing.wants, false)]);
        }
    }
    for part in &rough_in.parts {
        let of_run = whole && named(f, rough_in.run(part.run).label.as_str());
        if named(f, part.label.as_str()) || of_run {
            spots.push(Spot(placed.origin(part.id), true));
            for port in 0..part.ports().len() {
                spots.push(Spot(placed.stop(rough_in, part.id, port), true));
            }
        }
    }
    for closure in placed.closures.iter().filter(|c| named(f, rough_in.run(c.run).label.as_str())) {
        spots.push(Spot(closure.at, true));
        let tie = loaded.by_label.get(closure.to.fitting.as_str());
        for port in tie.map_or(0..0, |p| 0..rough_in.part(*p).ports().len()) {
            spots.extend(tie.map(|p| Spot(placed.stop(rough_in, *p, port), true)));
        }
    }
    spots
}

/// On what is named or may be meant by a height, the points nearest to each spot: floors, roof, walls, wood, keep-outs, windows.
fn faces(loaded: &Loaded, f: &Finding, spots: &[Spot]) -> Vec<Spot> {
    let framed = &loaded.seen.rough_in.framed;
    let mut boxes: Vec<(Isometry3<f64>, Vector3<f64>)> = Vec::new();
    for m in framed.members.iter().filter(|m| named(f, m.label.as_str())) {
        boxes.push((m.pose, m.half));
    }
    for k in framed.keep_outs.iter().filter(|k| named(f, k.label.as_str())) {
        boxes.push((k.pose, k.half));
    }
    for w in framed.windows.iter().filter(|w| named(f, w.label.as_str())) {
        boxes.push((w.pose, w.half));
    }
    for w in framed.walls.iter() {
        let turn = w.axes();
        for (back, front) in [(0.0, 0.0), (w.finish_back, w.finish_room)] {
            let middle =
                w.at_height(w.length / 2.0, (front - w.depth - back) / 2.0, f64::midpoint(w.z0, w.z1));
            let half = Vector3::new(w.length / 2.0, (front + w.depth + back) / 2.0, (w.z1 - w.z0) / 2.0);
            boxes.push((Isometry3::from_parts(middle.coords.into(), turn), half));
        }
    }
    let mut faces = Vec::new();
    for Spot(at, _) in spots {
        for (pose, half) in &boxes {
            let local = pose.inverse_transform_point(at);
            let held = Point3::from(local.coords.zip_map(half, |v, h| v.clamp(-h, h)));
            faces.push(Spot(pose * held, false));
        }
        for floor in &framed.floors {
            for z in [floor.rough_z, floor.finished_z] {
                faces.push(Spot(Point3::new(at.x, at.y, z), false));
            }
        }
        if let Some((_, z)) = framed.roof_over(at.x, at.y) {
            faces.push(Spot(Point3::new(at.x, at.y, z), false));
        }
    }
    faces
}

/// Where a point on a part is drawn while the lean is exaggerated.
pub(crate) fn shown(
    loaded: &Loaded,
    look: &crate::look::Look,
    finding: usize,
    at: Point3<f64>,
) -> Point3<f64> {
    if look.placement == Placement::Found && (look.exaggeration - 1.0).abs() < f32::EPSILON {
        return at;
    }
    let rough_in = &loaded.seen.rough_in;
    let Some((f, part)) = loaded.seen.findings.get(finding).zip(loaded.part_of(finding)) else { return at };
    let of = rough_in.placed(f.placement).world_from_part[part.0 as usize];
    crate::draw::pipes::frame(rough_in, look, part) * (of.inverse() * at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use truefall_check::Verdict;

    /// Lengths that have no line yet: along a pipe that turns, to the edge of a bowl, a rim or a roof that slopes.
    const BARE: [&str; 17] = [
        "access-missing",
        "closet-arm-too-long",
        "closet-too-near-front",
        "hanger-too-far",
        "island-foot-not-drained",
        "island-loop-too-low",
        "island-vent-not-as-drain",
        "lavatory-too-near-front",
        "trap-arm-drops",
        "trap-arm-too-long",
        "valve-too-low",
        "vent-drops-below-weir",
        "vent-ends-too-low",
        "vent-near-upright",
        "vent-runs-flat-too-low",
        "vent-tied-too-low",
        "vent-too-long",
    ];

    // Each line is as long as the number told, or it would show something else: that is how ends are taken. Here: which rules
    // have a line at all, on every scene made to break a rule.
    #[test]
    fn every_red_tag_that_measures_has_its_number_and_lengths_have_their_line() {
        let folder = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes/rules"));
        let (mut bare, mut lined, mut lost) = (BTreeSet::new(), BTreeSet::new(), Vec::new());
        for rule in std::fs::read_dir(folder).unwrap() {
            for scene in std::fs::read_dir(rule.unwrap().path()).unwrap() {
                let path = scene.unwrap().path();
                if !path.file_name().unwrap().to_string_lossy().starts_with("bad_") {
                    continue;
                }
                let loaded = Loaded::load(&path).unwrap();
                for (i, f) in loaded.seen.findings.iter().enumerate() {
                    if !matches!(f.verdict, Verdict::RedTag | Verdict::Ask) || f.measured.is_none() {
                        continue;
                    }
                    match of(&loaded, i) {
                        Some(d) if d.line() => drop(lined.insert(f.rule)),
                        Some(_) if matches!(f.unit, "in" | "in/ft") => drop(bare.insert(f.rule)),
                        Some(_) => {}
                        None => lost.push(format!("{} in {}", f.rule, path.display())),
                    }
                }
            }
        }
        assert!(lost.is_empty(), "no number at all: {lost:?}");
        assert!(lined.len() > 30, "{lined:?}");
        let known: BTreeSet<&str> = NO_ENDS.into_iter().chain(BARE).collect();
        let new: Vec<_> = bare.difference(&known).collect();
        assert!(new.is_empty(), "lengths and grades without a line: {new:?}");
    }
}
