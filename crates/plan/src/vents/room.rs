//! Where dry pipe can stand: in which wall, clear of which wood, at which height over which floor, and how much of it is in the
//! open room.

use nalgebra::{Point2, Point3, Vector3};
use truefall_check::cure::sixteenths;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::WallSpace;
use truefall_model::job::height::{Height, Surface};
use truefall_model::label::Label;
use truefall_model::place::{PartKind, Placed, RoughIn};
use truefall_model::units::Length;

/// A room is taken to be this high where nothing above ends it.
const ROOM_IN: f64 = 90.0;

/// How finely a pipe is looked along.
const STEP_IN: f64 = 3.0;

/// The wall a point on the plan lies in, between two heights.
pub(super) fn wall_at(framed: &Framed, at: Point2<f64>, low: f64, high: f64) -> Option<&WallSpace> {
    framed
        .walls
        .iter()
        .find(|w| in_wall(w, at) && w.z0 <= low + 1.0 && w.z1 >= high.min(w.z1 - 1.0) && w.z1 > low)
}

fn in_wall(wall: &WallSpace, at: Point2<f64>) -> bool {
    let (along, out) = wall.measure(at);
    (0.0..=wall.length).contains(&along) && (-wall.depth..=0.0).contains(&out)
}

/// Whether an upright pipe runs into wood lengthwise, or into a keep-out: all that no hole up and down passes.
pub(super) fn upright_is_clear(
    framed: &Framed,
    at: Point2<f64>,
    low: f64,
    high: f64,
    radius_in: f64,
) -> bool {
    let meets = |centre: Point3<f64>, pose: &nalgebra::Isometry3<f64>, half: Vector3<f64>| {
        // The box's own axes: a rafter's are tilted, so the nearest height is taken.
        let z = centre.z.clamp(low, high);
        let own = pose.inverse_transform_point(&Point3::new(at.x, at.y, z));
        let up = pose.inverse_transform_vector(&Vector3::z());
        let foot = |t: f64| own + up * t;
        let (from, to) = (low - z, high - z);
        let steps = (((to - from) / 2.0).ceil() as i64).clamp(1, 400);
        (0..=steps).any(|i| {
            let p = foot(from + (to - from) * i as f64 / steps as f64);
            let out = |v: f64, h: f64| (v.abs() - h).max(0.0);
            Vector3::new(out(p.x, half.x), out(p.y, half.y), out(p.z, half.z)).norm() < radius_in - 1e-6
        })
    };
    let near = |centre: Point3<f64>, half: Vector3<f64>| {
        (centre.xy() - at).norm() <= half.norm() + radius_in
            && centre.z - half.norm() <= high
            && centre.z + half.norm() >= low
    };
    let wood = framed
        .members
        .iter()
        .filter(|m| !m.kind.is_flat())
        .any(|m| near(m.centre(), m.half) && meets(m.centre(), &m.pose, m.half));
    let kept = framed.keep_outs.iter().any(|k| {
        let centre = Point3::from(k.pose.translation.vector);
        near(centre, k.half) && meets(centre, &k.pose, k.half)
    });
    !wood && !kept
}

/// The middles of the bays of a wall at a height, along it from its `from` corner: between neighbouring uprights that
/// stand there, with their clear width.
pub(super) fn bays(framed: &Framed, wall: &WallSpace, z: f64) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = framed
        .members
        .iter()
        .filter(|m| m.wall == Some(wall.id) && m.kind.is_upright())
        .filter(|m| (m.centre().z - m.half.z..=m.centre().z + m.half.z).contains(&z))
        .map(|m| {
            let (along, _) = wall.measure(m.centre().xy());
            (along - m.half.x, along + m.half.x)
        })
        .collect();
    spans.push((f64::NEG_INFINITY, 0.0));
    spans.push((wall.length, f64::INFINITY));
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    spans
        .windows(2)
        .map(|pair| (pair[0].1, pair[1].0))
        .filter(|(from, to)| to - from > 2.0)
        .map(|(from, to)| ((from + to) / 2.0, to - from))
        .collect()
}

/// How much pipe stands in a room without a wall round it.
pub(super) fn open_length(rough_in: &RoughIn, placed: &Placed) -> Length {
    let framed = &rough_in.framed;
    let mut open = 0.0;
    for part in rough_in.parts.iter().filter(|p| matches!(p.kind, PartKind::Piece { .. })) {
        // Stubs and standpipes come out of their walls on purpose.
        if rough_in.network.wet[part.id.0 as usize] {
            continue;
        }
        let (a, b) = (placed.stop(rough_in, part.id, 0), placed.stop(rough_in, part.id, 1));
        let steps = ((b - a).norm() / STEP_IN).ceil().max(1.0);
        for i in 0..steps as i64 {
            let p = a + (b - a) * ((i as f64 + 0.5) / steps);
            if in_room(framed, p)
                && !framed.walls.iter().any(|w| in_wall(w, p.xy()) && (w.z0..=w.z1).contains(&p.z))
            {
                open += (b - a).norm() / steps;
            }
        }
    }
    Length::inches(open)
}

fn in_room(framed: &Framed, p: Point3<f64>) -> bool {
    framed.floors.iter().any(|floor| {
        let inside = floor
            .outline
            .is_none_or(|(low, high)| (low.x..=high.x).contains(&p.x) && (low.y..=high.y).contains(&p.y));
        let roof = framed.roof_over(p.x, p.y).map_or(f64::INFINITY, |r| r.1);
        inside && p.z > floor.rough_z && p.z < (floor.rough_z + ROOM_IN).min(roof)
    })
}

/// A height in words.
pub(super) fn said(rough_in: &RoughIn, z: f64) -> String {
    let height = height(rough_in, z);
    if height.off.to_inches() < 0.0 {
        return format!("{} below {} {}", -height.off, height.floor, height.surface);
    }
    height.to_string()
}

/// A height to the sixteenth off the rough surface of the highest floor below it.
pub(super) fn height(rough_in: &RoughIn, z: f64) -> Height {
    let floors = &rough_in.framed.floors;
    let below = floors.iter().filter(|f| f.rough_z <= z).max_by(|a, b| a.rough_z.total_cmp(&b.rough_z));
    let floor = below.or_else(|| floors.iter().find(|f| f.datum));
    let (label, at) = floor.map_or((Label::new("first"), 0.0), |f| (f.label.clone(), f.rough_z));
    Height { off: sixteenths(z - at), floor: label, surface: Surface::Rough }
}
