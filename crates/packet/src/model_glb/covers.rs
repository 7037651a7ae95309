//! What covers the framing when the walls are closed: the finish of each wall's face and of each floor.

use nalgebra::{Isometry3, Translation3, UnitQuaternion, Vector3};
use serde_json::{Value, json};
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::WallSpace;
use truefall_model::solid::Body;

/// One layer of finish, as a slab.
pub(super) struct Cover {
    pub(super) name: String,
    pub(super) body: Body,
    pub(super) extras: Value,
}

/// All of them: walls first, room's side before back, then floors.
pub(super) fn covers(framed: &Framed) -> Vec<Cover> {
    let faces = framed.walls.iter().flat_map(|wall| {
        let room = face(wall, "room side", 0.0, wall.finish_room);
        let back = face(wall, "back", -wall.depth - wall.finish_back, wall.finish_back);
        room.into_iter().chain(back)
    });
    let floors = framed.floors.iter().filter_map(|floor| {
        let (least, most) = floor.outline?;
        let thick = floor.finished_z - floor.rough_z;
        if thick <= 0.0 {
            return None;
        }
        let (middle, half) = ((least.coords + most.coords) / 2.0, (most - least) / 2.0);
        let at = Translation3::new(middle.x, middle.y, floor.rough_z + thick / 2.0);
        Some(Cover {
            name: format!("{} floor finish", floor.label),
            body: Body::Cuboid {
                pose: Isometry3::from_parts(at, UnitQuaternion::identity()),
                half: Vector3::new(half.x, half.y, thick / 2.0),
            },
            extras: json!({ "kind": "floor cover", "floor": floor.label.as_str() }),
        })
    });
    faces.chain(floors).collect()
}

fn face(wall: &WallSpace, side: &str, out: f64, thick: f64) -> Option<Cover> {
    if thick <= 0.0 {
        return None;
    }
    let half = Vector3::new(wall.length / 2.0, thick / 2.0, (wall.z1 - wall.z0) / 2.0);
    let middle = wall.at_height(half.x, out + half.y, wall.z0 + half.z);
    Some(Cover {
        name: format!("{} finish, {side}", wall.label),
        body: Body::Cuboid { pose: Isometry3::from_parts(middle.into(), wall.axes()), half },
        extras: json!({ "kind": "wall cover", "wall": wall.label.as_str(), "side": side }),
    })
}
