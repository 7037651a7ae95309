//! Which stretch of a wall no screw may enter, because a pipe is behind it.
//!
//! *Left* is left as one stands before the wall; the corner is the end of the wall's bare framing.

use nalgebra::Point3;
use serde::Serialize;
use truefall_model::framing::space::WallSpace;
use truefall_model::place::{PartId, Placed, RoughIn};
use truefall_model::solid::Body;
use truefall_model::units::{Fineness, Length};

/// Kept free on both sides of a pipe, inches. House figure: a screw is seldom set truer than this off a line read from a
/// tape over finished board.
const BESIDE_IN: f64 = 1.0;

/// Bands nearer to each other than this, inches, are told as one: nobody sets a screw between.
const JOIN_IN: f64 = 3.0;

/// Two bands become one where it takes at most this much of what both take.
const MORE: f64 = 1.3;

/// Which of a wall's two faces one stands before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Facing {
    /// The room's side, where the wall's `from` corner is at the right hand.
    Room,
    /// The back.
    Back,
}

/// A stretch of a wall with a pipe behind it. Lengths in inches.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScrewBand {
    /// The wall.
    pub wall: String,
    /// The face one stands before.
    pub facing: Facing,
    /// From the left corner to where it starts.
    pub left: f64,
    /// From the left corner to where it ends.
    pub right: f64,
    /// Its lower edge over the finished floor.
    pub low: f64,
    /// Its upper edge over the finished floor.
    pub high: f64,
    /// It goes from bottom plate to top plate.
    pub full_height: bool,
    /// In words, such as `no screws from 14 to 22 in off the left corner`.
    pub text: String,
    /// Its four corners on the finished face, job axes: lower left, lower right, upper right, upper left.
    pub corners: [[f64; 3]; 4],
    /// The parts behind it.
    pub parts: Vec<String>,
}

/// A stretch along a wall's axis and in height, with the parts that make it.
#[derive(Debug, Clone)]
struct Patch {
    along: (f64, f64),
    z: (f64, f64),
    parts: Vec<PartId>,
}

/// The bands of every wall, by wall, face and from left to right. The back of an outer wall has none.
pub fn screw_bands(rough_in: &RoughIn, placed: &Placed) -> Vec<ScrewBand> {
    let mut bands = Vec::new();
    for wall in &rough_in.framed.walls {
        let patches = patches(rough_in, placed, wall);
        for facing in [Facing::Room, Facing::Back] {
            if facing == Facing::Back && wall.exterior {
                continue;
            }
            let mut of_face: Vec<ScrewBand> =
                patches.iter().map(|p| band(rough_in, wall, facing, p)).collect();
            of_face.sort_by(|a, b| a.left.total_cmp(&b.left).then(a.low.total_cmp(&b.low)));
            bands.extend(of_face);
        }
    }
    bands
}

fn patches(rough_in: &RoughIn, placed: &Placed, wall: &WallSpace) -> Vec<Patch> {
    let (mut upright, mut level): (Vec<Patch>, Vec<Patch>) = (Vec::new(), Vec::new());
    for part in &rough_in.parts {
        for body in placed.bodies_of(part.id) {
            let Some(patch) = in_wall(wall, body, part.id) else { continue };
            let tall = patch.z.1 - patch.z.0 > patch.along.1 - patch.along.0;
            let (group, reach) =
                if tall { (&mut upright, (0.5, JOIN_IN)) } else { (&mut level, (JOIN_IN, 0.5)) };
            join(group, patch, reach);
        }
    }
    // A hub or a bend on a riser is wider than tall, and belongs to the riser all the same.
    for patch in level {
        let held = upright.iter_mut().find(|u| {
            overlap(u.z, patch.z, 0.0)
                && u.along.0 - JOIN_IN <= patch.along.0
                && patch.along.1 <= u.along.1 + JOIN_IN
        });
        match held {
            Some(u) => take(u, patch),
            None => join(&mut upright, patch, (JOIN_IN, 0.5)),
        }
    }
    plain(upright, wall)
}

/// Patches that lie on each other told as one where that takes little more of the wall, and cut off where they run into one
/// that goes from plate to plate: what is told twice is read as two pipes.
fn plain(mut patches: Vec<Patch>, wall: &WallSpace) -> Vec<Patch> {
    let area = |p: &Patch| (p.along.1 - p.along.0 + 2.0 * BESIDE_IN) * (p.z.1 - p.z.0 + 2.0 * BESIDE_IN);
    let meets = |a: &Patch, b: &Patch| {
        overlap(a.along, b.along, 2.0 * BESIDE_IN) && overlap(a.z, b.z, 2.0 * BESIDE_IN)
    };
    let one = |a: &Patch, b: &Patch| {
        let mut both = a.clone();
        take(&mut both, b.clone());
        both
    };
    let pair = |of: &[Patch]| {
        (0..of.len()).find_map(|i| {
            let j = (i + 1..of.len()).find(|j| {
                meets(&of[i], &of[*j]) && area(&one(&of[i], &of[*j])) <= MORE * (area(&of[i]) + area(&of[*j]))
            })?;
            Some((i, j))
        })
    };
    while let Some((i, j)) = pair(&patches) {
        let other = patches.remove(j);
        take(&mut patches[i], other);
    }
    let (mut full, rest): (Vec<Patch>, Vec<Patch>) = patches.into_iter().partition(|p| is_full(p, wall));
    let mut cut = Vec::new();
    for mut patch in rest {
        let mut gone = false;
        for riser in &mut full {
            if !overlap(riser.along, patch.along, 2.0 * BESIDE_IN) {
                continue;
            }
            let (from, to) = (riser.along.0 - 2.0 * BESIDE_IN, riser.along.1 + 2.0 * BESIDE_IN);
            if patch.along.0 >= from && patch.along.1 <= to {
                // Its width is the riser's to say, so nothing of it may be lost.
                riser.along = (riser.along.0.min(patch.along.0), riser.along.1.max(patch.along.1));
                riser.parts.append(&mut patch.parts);
                riser.parts.sort();
                riser.parts.dedup();
                gone = true;
                break;
            } else if patch.along.0 >= from {
                patch.along.0 = to;
            } else if patch.along.1 <= to {
                patch.along.1 = from;
            }
        }
        if !gone {
            cut.push(patch);
        }
    }
    full.extend(cut);
    full
}

fn is_full(patch: &Patch, wall: &WallSpace) -> bool {
    patch.z.0 - wall.z0 < 12.0 && wall.z1 - patch.z.1 < 12.0
}

fn overlap(a: (f64, f64), b: (f64, f64), reach: f64) -> bool {
    a.0 <= b.1 + reach && b.0 <= a.1 + reach
}

fn take(into: &mut Patch, patch: Patch) {
    into.along = (into.along.0.min(patch.along.0), into.along.1.max(patch.along.1));
    into.z = (into.z.0.min(patch.z.0), into.z.1.max(patch.z.1));
    into.parts.extend(patch.parts);
    into.parts.sort();
    into.parts.dedup();
}

fn alike(a: &Patch, b: &Patch) -> bool {
    (a.z.1 - a.z.0 > a.along.1 - a.along.0) == (b.z.1 - b.z.0 > b.along.1 - b.along.0)
}

fn join(group: &mut Vec<Patch>, mut patch: Patch, reach: (f64, f64)) {
    while let Some(i) = group.iter().position(|p| {
        alike(p, &patch) && overlap(p.along, patch.along, reach.0) && overlap(p.z, patch.z, reach.1)
    }) {
        let other = group.remove(i);
        take(&mut patch, other);
    }
    group.push(patch);
}

/// What of a body is between a wall's finished faces.
fn in_wall(wall: &WallSpace, body: &Body, part: PartId) -> Option<Patch> {
    let Body::Cylinder { a, b, radius_in } = *body else { return None };
    let local = |p: Point3<f64>| {
        let (along, out) = wall.measure(p.xy());
        Point3::new(along, out, p.z)
    };
    let (a, b) = (local(a), local(b));
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let bounds = [
        (0.0 - radius_in, wall.length + radius_in),
        (-wall.depth - wall.finish_back - radius_in, wall.finish_room + radius_in),
        (wall.z0, wall.z1),
    ];
    for (i, (low, high)) in bounds.into_iter().enumerate() {
        let step = b[i] - a[i];
        if step.abs() < 1e-9 {
            if a[i] <= low || a[i] >= high {
                return None;
            }
            continue;
        }
        let (s, e) = ((low - a[i]) / step, (high - a[i]) / step);
        from = from.max(s.min(e));
        to = to.min(s.max(e));
    }
    if from >= to {
        return None;
    }
    let clipped = Body::Cylinder { a: a + (b - a) * from, b: a + (b - a) * to, radius_in };
    let (least, most) = clipped.aabb();
    Some(Patch {
        along: (least.x.max(0.0), most.x.min(wall.length)),
        z: (least.z.max(wall.z0), most.z.min(wall.z1)),
        parts: vec![part],
    })
    .filter(|p| p.along.0 < p.along.1 && p.z.0 < p.z.1)
}

fn band(rough_in: &RoughIn, wall: &WallSpace, facing: Facing, patch: &Patch) -> ScrewBand {
    // Whole inches outwards: nobody marks a band finer, and outwards is the safe side.
    let (near, far) = ((patch.along.0 - BESIDE_IN).max(0.0), (patch.along.1 + BESIDE_IN).min(wall.length));
    let (left, right) = match facing {
        Facing::Room => (wall.length - far, wall.length - near),
        Facing::Back => (near, far),
    };
    let (left, right) = (left.floor().max(0.0), right.ceil().min(wall.length));
    let finished = rough_in.framed.floor_of(wall.floor).map_or(wall.z0, |f| f.finished_z);
    let full_height = is_full(patch, wall);
    let (low, high) = if full_height {
        (wall.z0 - finished, wall.z1 - finished)
    } else {
        let low = (patch.z.0 - BESIDE_IN - finished).floor().max(wall.z0 - finished);
        (low, (patch.z.1 + BESIDE_IN - finished).ceil().min(wall.z1 - finished))
    };
    let out = match facing {
        Facing::Room => wall.finish_room,
        Facing::Back => -wall.depth - wall.finish_back,
    };
    let corner = |off: f64, up: f64| {
        let along = if facing == Facing::Room { wall.length - off } else { off };
        let p = wall.at_height(along, out, finished + up);
        [p.x, p.y, p.z]
    };
    ScrewBand {
        wall: wall.label.to_string(),
        facing,
        left,
        right,
        low,
        high,
        full_height,
        text: text(left, right, low.max(0.0), high, full_height),
        corners: [corner(left, low), corner(right, low), corner(right, high), corner(left, high)],
        parts: patch.parts.iter().map(|p| rough_in.part(*p).label.to_string()).collect(),
    }
}

fn text(left: f64, right: f64, low: f64, high: f64, full_height: bool) -> String {
    let trade = |inches: f64| Length::inches(inches).to_trade(Fineness::Sixteenth);
    let bare = |inches: f64| trade(inches).trim_end_matches('"').to_owned();
    let span = |a: f64, b: f64| {
        if b < 24.0 {
            format!("{} to {} in", bare(a), bare(b))
        } else {
            format!("{} to {}", trade(a), trade(b))
        }
    };
    let across = format!("no screws from {} off the left corner", span(left, right));
    if full_height { across } else { format!("{across}, {} off the finished floor", span(low, high)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Plain reading of a tape: under 24 in inches are said, from there feet and inches, as the reports print.
    #[test]
    fn a_band_is_told_as_one_would_say_it() {
        assert_eq!(text(14.0, 22.0, 0.0, 96.0, true), "no screws from 14 to 22 in off the left corner");
        let level = text(30.0, 61.0, 12.0, 16.0, false);
        assert!(level.ends_with("off the left corner, 12 to 16 in off the finished floor"), "{level}");
    }

    fn wall() -> WallSpace {
        use nalgebra::{Point2, Vector2};
        use truefall_model::framing::member::{Bearing, FloorId, WallId};
        WallSpace {
            id: WallId(0),
            label: truefall_model::label::Label::new("north"),
            floor: FloorId(0),
            origin: Point2::new(0.0, 0.0),
            along: Vector2::new(1.0, 0.0),
            into_room: Vector2::new(0.0, 1.0),
            length: 120.0,
            depth: 5.5,
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

    // Elementary geometry: a plumb pipe of radius 1.75 at 40 in along takes 38.25 to 41.75; one before the wall takes nothing.
    #[test]
    fn only_what_is_between_the_finished_faces_counts() {
        let pipe = |y: f64| Body::Cylinder {
            a: Point3::new(40.0, y, -30.0),
            b: Point3::new(40.0, y, 200.0),
            radius_in: 1.75,
        };
        let inside = in_wall(&wall(), &pipe(-2.75), PartId(0)).expect("it stands in the wall");
        assert!((inside.along.0 - 38.25).abs() < 1e-9 && (inside.along.1 - 41.75).abs() < 1e-9);
        assert!(inside.z.0.abs() < 1e-9 && (inside.z.1 - 96.0).abs() < 1e-9);
        assert!(in_wall(&wall(), &pipe(6.0), PartId(0)).is_none());
        assert!(in_wall(&wall(), &pipe(-12.0), PartId(0)).is_none());
    }

    // Reading of a tape: a drain that runs into a riser is told up to the riser's band, every inch of both in some band.
    #[test]
    fn a_drain_into_a_riser_is_told_beside_it() {
        let patch = |along, z| Patch { along, z, parts: vec![PartId(0)] };
        let told = plain(vec![patch((40.0, 43.5), (0.0, 96.0)), patch((20.0, 42.0), (14.0, 16.0))], &wall());
        assert_eq!(told.len(), 2);
        assert!(told[0].along == (40.0, 43.5) && told[1].along == (20.0, 38.0), "{told:?}");
        let near = plain(vec![patch((10.0, 12.0), (10.0, 12.0)), patch((12.5, 15.0), (10.0, 12.5))], &wall());
        assert_eq!(near.len(), 1, "two stubs side by side are one place to keep off");
        assert!(near[0].along == (10.0, 15.0) && near[0].z == (10.0, 12.5));
    }

    // A stub square through the wall takes its own width and height.
    #[test]
    fn a_stub_square_through_the_wall_takes_its_diameter() {
        let stub = Body::Cylinder {
            a: Point3::new(60.0, -40.0, 18.0),
            b: Point3::new(60.0, 12.0, 18.0),
            radius_in: 0.95,
        };
        let patch = in_wall(&wall(), &stub, PartId(0)).expect("it goes through the wall");
        assert!((patch.along.0 - 59.05).abs() < 1e-9 && (patch.along.1 - 60.95).abs() < 1e-9);
        assert!((patch.z.0 - 17.05).abs() < 1e-9 && (patch.z.1 - 18.95).abs() < 1e-9);
    }
}
