//! What is clipped away: other floors, or what is not near a wall.

use crate::loaded::Loaded;
use crate::look::Look;
use nalgebra::Point3;
use truefall_model::framing::member::{Member, MemberKind};

/// How far before and behind a wall things still belong to it, inches.
const NEAR_WALL_IN: f64 = 30.0;
/// How far below a wall's foot its pipes hang, inches.
const BELOW_IN: f64 = 40.0;
/// How far below its rough surface a floor begins, where another lies below: joists and what hangs between them.
const FLOOR_DEEP_IN: f64 = 14.0;

/// From where on the cover slider floors are laid and hide what is below them.
pub(crate) const LAID: f32 = 1.0;

/// Whether a point of the job is shown.
pub(crate) fn point(loaded: &Loaded, look: &Look, at: Point3<f64>) -> bool {
    let framed = &loaded.seen.rough_in.framed;
    if let Some(floor) = look.floor.and_then(|i| framed.floors.get(i)) {
        let next = framed
            .floors
            .iter()
            .map(|f| f.rough_z)
            .filter(|z| *z > floor.rough_z)
            .fold(f64::INFINITY, f64::min);
        let lowest = framed.floors.iter().all(|f| f.rough_z >= floor.rough_z);
        let low = floor.rough_z - if lowest { f64::INFINITY } else { FLOOR_DEEP_IN };
        if !(low..next - FLOOR_DEEP_IN).contains(&at.z) {
            return false;
        }
    }
    if let Some(wall) = look.wall.and_then(|i| framed.walls.get(i)) {
        let (along, out) = wall.measure(at.xy());
        return (-6.0..=wall.length + 6.0).contains(&along)
            && (-wall.depth - NEAR_WALL_IN..=NEAR_WALL_IN).contains(&out)
            && (wall.z0 - BELOW_IN..=wall.z1 + 14.0).contains(&at.z);
    }
    true
}

/// Whether a piece of wood is shown, and so can be picked.
pub(crate) fn member(loaded: &Loaded, look: &Look, m: &Member) -> bool {
    // Open framing is looked into: sheets of the subfloor hide all of it, and come with the floors.
    let laid = m.kind != MemberKind::Subfloor || look.cover >= LAID;
    laid && point(loaded, look, m.centre())
}
