//! Pipe in a wall that sticks out past its rough faces.

use crate::bore::Occupant;
use crate::bore::telling::decimal;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::source::Source;
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;
use std::f64::consts::FRAC_1_SQRT_2;
use truefall_model::framing::space::WallSpace;
use truefall_model::place::{PartId, RunId};
use truefall_model::solid::Body;
use truefall_model::tolerance::{TOUCH, order};
use truefall_model::units::{Fineness, Length};

rule! {
    /// # What it checks
    /// Pipes, hubs and bends whose axis runs inside a wall, between its rough faces: how far they stick out past either face.
    /// What crosses the face on purpose, within 45 degrees of square to it, such as a stub for a fixture, is left out. Told
    /// once for each wall and each stack or branch, at the part that is farthest out.
    ///
    /// # Why
    /// Wall board does not lie flat over a hub. A 3 in pipe fits a 2x4 wall by its barrel, but no hub of it does.
    ///
    /// # Source
    /// Our own; the furring is measured.
    ///
    /// # Limits
    /// Furring or a wall built deeper is not part of a job; give the wall its new depth, and move its line, to say it. The
    /// finish is not taken into account. Overlap up to 1/64 in is a touch.
    /// How far behind the faces a pipe stays is not told, so no pass is told.
    ///
    /// # Example
    /// A 3 in hub of 3.960 in stands in the middle of a 2x4 wall: 0.230 proud on each side, furring of 1/4 in.
    "pipe-proud-of-framing", Room, House("wall board lies on the framing, so what is in the wall must stay behind its faces"),
    "pipe in a wall sticks out past the framing",
    figures: [],
    check,
}

/// The farthest out past the faces of a wall.
#[derive(Clone, Copy)]
struct Proud {
    room: f64,
    back: f64,
    part: PartId,
    at: Point3<f64>,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for wall in &ctx.rough_in.framed.walls {
        let mut runs: BTreeMap<RunId, Proud> = BTreeMap::new();
        for occupant in ctx.facts.occupants.all.iter().filter(|o| !o.existing) {
            let Some(found) = proud(wall, occupant) else { continue };
            let run = ctx.rough_in.part(occupant.part).run;
            let worst = runs.entry(run).or_insert(found);
            if order(found.room.max(found.back), worst.room.max(worst.back)).is_gt() {
                (worst.part, worst.at) = (found.part, found.at);
            }
            worst.room = worst.room.max(found.room);
            worst.back = worst.back.max(found.back);
        }
        out.extend(runs.into_iter().map(|(run, found)| told(ctx, wall, run, found)));
    }
}

fn told(ctx: &Ctx<'_>, wall: &WallSpace, run: RunId, found: Proud) -> Finding {
    let run = &ctx.rough_in.run(run).label;
    let worst = Length::inches(found.room.max(found.back));
    let what = format!(
        "{} of {run} sticks out {} in past the framing of {}, which is {} deep",
        ctx.label(found.part),
        decimal(worst),
        wall.label,
        Length::inches(wall.depth)
    );
    let source =
        Source::house("wall board lies on the framing, so what is in the wall must stay behind its faces");
    let mut finding = Finding::new(RULE.id, Verdict::Watch, ctx.placement(), what, source)
        .on([&wall.label, run, ctx.label(found.part)])
        .at(found.at)
        .measured(worst.to_inches(), Limit::AtMost(0.0), "in");
    let mut furring = Vec::new();
    for (side, proud) in [("room's side", found.room), ("back", found.back)] {
        finding = finding.line(format!("past the {side} {}", decimal(Length::inches(proud.max(0.0)))));
        if proud > TOUCH.to_inches() {
            let thick = Length::inches((proud * 16.0 - 1e-6).ceil() / 16.0);
            furring.push(format!("{} on the {side}", thick.to_trade(Fineness::Sixteenth)));
        }
    }
    finding.help(format!("fur the wall out by {}", furring.join(" and ")))
}

/// How far a body that runs in a wall sticks out of it; none where it does not run there or stays behind both faces.
fn proud(wall: &WallSpace, occupant: &Occupant) -> Option<Proud> {
    let Body::Cylinder { a, b, radius_in } = occupant.body else { return None };
    let axis = (b - a).try_normalize(0.0)?;
    let outward = Vector3::new(wall.into_room.x, wall.into_room.y, 0.0);
    let across = axis.dot(&outward).abs();
    if across >= FRAC_1_SQRT_2 {
        return None;
    }
    let (from, to) = inside(wall, a, b)?;
    let reach = radius_in * (1.0 - across * across).max(0.0).sqrt();
    let out = |p: &Point3<f64>| wall.measure(p.xy()).1;
    let room = out(&from).max(out(&to)) + reach;
    let back = -wall.depth - (out(&from).min(out(&to)) - reach);
    let at = nalgebra::center(&from, &to);
    (room.max(back) > TOUCH.to_inches()).then_some(Proud { room, back, part: occupant.part, at })
}

/// The stretch of a line that runs inside the framing of a wall; none where that is a touch.
fn inside(wall: &WallSpace, a: Point3<f64>, b: Point3<f64>) -> Option<(Point3<f64>, Point3<f64>)> {
    let local = |p: &Point3<f64>| {
        let (along, out) = wall.measure(p.xy());
        [along, out, p.z]
    };
    let (start, end) = (local(&a), local(&b));
    let bounds = [(0.0, wall.length), (-wall.depth, 0.0), (wall.z0, wall.z1)];
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for ((s, e), (low, high)) in start.into_iter().zip(end).zip(bounds) {
        let run = e - s;
        if run.abs() < 1e-12 {
            if s < low || s > high {
                return None;
            }
            continue;
        }
        let (enter, leave) = ((low - s) / run, (high - s) / run);
        from = from.max(enter.min(leave));
        to = to.min(enter.max(leave));
    }
    let at = |t: f64| a + (b - a) * t;
    ((to - from) * (b - a).norm() > TOUCH.to_inches()).then(|| (at(from), at(to)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bore::Through;
    use nalgebra::{Point2, Vector2};
    use truefall_model::framing::member::{Bearing, FloorId, WallId};
    use truefall_model::label::Label;

    /// A wall along +x with its room towards +y, 10 ft long and 8 ft tall.
    fn wall(depth: f64) -> WallSpace {
        WallSpace {
            id: WallId(0),
            label: Label::new("north"),
            floor: FloorId(0),
            origin: Point2::origin(),
            along: Vector2::x(),
            into_room: Vector2::y(),
            length: 120.0,
            depth,
            thick: 1.5,
            z0: 0.0,
            z1: 96.0,
            finish_room: 0.5,
            finish_back: 0.5,
            bearing: Bearing::No,
            exterior: false,
            insulated: None,
            studs_assumed: false,
        }
    }

    fn sticks_out(depth: f64, a: [f64; 3], b: [f64; 3], outside: f64) -> Option<(f64, f64)> {
        let body = Body::Cylinder { a: a.into(), b: b.into(), radius_in: outside / 2.0 };
        let occupant = Occupant { part: PartId(0), through: Through::Pipe, existing: false, body };
        proud(&wall(depth), &occupant).map(|p| (p.room, p.back))
    }

    // Outside diameters of ASTM D1785, studs of PS 20: 3 in pipe is 3.500 and so is a 2x4.
    #[test]
    fn three_inch_pipe_just_fits_a_2x4_wall_and_its_hub_does_not() {
        assert_eq!(sticks_out(3.5, [30.0, -1.75, 4.0], [30.0, -1.75, 90.0], 3.5), None);
        let (room, back) =
            sticks_out(3.5, [30.0, -1.75, 4.0], [30.0, -1.75, 6.0], 4.0).expect("a hub of 4 in");
        assert!((room - 0.25).abs() < 1e-9 && (back - 0.25).abs() < 1e-9, "{room} {back}");
        assert_eq!(sticks_out(5.5, [30.0, -2.75, 4.0], [30.0, -2.75, 6.0], 4.0), None);
    }

    #[test]
    fn off_centre_it_sticks_out_on_one_side() {
        let (room, back) = sticks_out(3.5, [10.0, -1.0, 20.0], [60.0, -1.0, 21.0], 2.375).expect("proud");
        assert!((room - 0.1875).abs() < 1e-9, "{room}");
        assert!(back < 0.0);
    }

    #[test]
    fn a_stub_through_the_face_and_pipe_out_of_the_wall_are_left_out() {
        assert_eq!(sticks_out(3.5, [30.0, -1.75, 20.0], [30.0, 5.0, 20.0], 1.9), None);
        assert_eq!(sticks_out(3.5, [30.0, 1.0, 4.0], [30.0, 1.0, 90.0], 4.0), None, "beside the wall");
        assert_eq!(sticks_out(3.5, [30.0, -1.75, -20.0], [30.0, -1.75, -2.0], 4.0), None, "below it");
    }

    // A leaning stack: 0.2 in per ft over 8 ft is 1.6 in.
    #[test]
    fn a_leaning_stack_sticks_out_where_it_leaves_the_wall() {
        let lean = 96.0 * 0.2 / 12.0;
        let (room, _) =
            sticks_out(5.5, [30.0, -2.75, 0.0], [30.0, -2.75 + lean, 96.0], 3.5).expect("proud at the top");
        let slope: f64 = 0.2 / 12.0;
        let want = -2.75 + lean + 1.75 / slope.hypot(1.0);
        assert!((room - want).abs() < 1e-6, "{room} {want}");
    }
}
