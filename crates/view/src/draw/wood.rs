//! Members: boxes in lumber colours, and the ground they stand over.

use super::batch::{Form, Piece};
use super::stuff::{Stuff, matt};
use super::{OfHouse, ground, shown};
use crate::coords;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::theme;
use bevy::prelude::*;
use nalgebra::Point3;
use truefall_model::framing::member::Member;
use truefall_model::solid::Body;

/// A member as it is drawn.
pub(super) fn piece(m: &Member) -> Piece {
    Piece {
        form: Form::Body(Body::Cuboid { pose: m.pose, half: m.half }),
        stuff: Stuff::Wood,
        color: theme::lumber(m.kind),
    }
}

/// The members that are shown.
pub(super) fn pieces(loaded: &Loaded, look: &Look) -> Vec<Piece> {
    let members = loaded.seen.rough_in.framed.members.iter();
    members.filter(|m| shown::member(loaded, look, m)).map(piece).collect()
}

/// The ground, so that the house stands on something.
pub(super) fn earth(
    loaded: &Loaded,
    commands: &mut Commands,
    meshes: &mut Assets<Mesh>,
    materials: &mut Assets<StandardMaterial>,
) {
    let centre = loaded.stops.first().map_or_else(Point3::origin, |s| Point3::from(s.look));
    let at = Point3::new(centre.x, centre.y, ground(loaded) - 1.0);
    commands.spawn((
        OfHouse,
        Mesh3d(meshes.add(Plane3d::new(Vec3::Y, Vec2::splat(160.0)).mesh())),
        MeshMaterial3d(materials.add(StandardMaterial { reflectance: 0.0, ..matt(theme::GROUND, 1.0, 0.0) })),
        Transform::from_translation(coords::scene_from_job(at)),
    ));
}
