//! Members: boxes in lumber colours.

use super::{OfJob, Shapes, ground, stuff};
use crate::coords;
use crate::loaded::Loaded;
use crate::theme;
use bevy::prelude::*;
use nalgebra::Point3;
use std::collections::BTreeMap;
use truefall_model::framing::member::MemberId;
use truefall_model::solid::Body;

/// A piece of wood.
#[derive(Component, Clone, Copy)]
pub(crate) struct MemberMark(pub(crate) MemberId);

pub(super) fn draw(
    loaded: Res<Loaded>,
    mut commands: Commands,
    mut shapes: ResMut<Shapes>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let mut by_kind = BTreeMap::new();
    for m in &loaded.seen.rough_in.framed.members {
        let material = by_kind
            .entry(m.kind.word())
            .or_insert_with(|| materials.add(stuff(theme::lumber(m.kind), 0.85, 0.0)))
            .clone();
        let (mesh, transform) = shapes.of(&mut meshes, &Body::Cuboid { pose: m.pose, half: m.half });
        commands.spawn((OfJob, MemberMark(m.id), Mesh3d(mesh), MeshMaterial3d(material), transform));
    }
    let size = 160.0;
    let centre = loaded.stops.first().map_or_else(Point3::origin, |s| Point3::from(s.look));
    commands.spawn((
        OfJob,
        Mesh3d(meshes.add(Plane3d::new(Vec3::Y, Vec2::splat(size)).mesh())),
        MeshMaterial3d(
            materials.add(StandardMaterial { reflectance: 0.0, ..stuff(theme::GROUND, 1.0, 0.0) }),
        ),
        Transform::from_translation(coords::scene_from_job(Point3::new(
            centre.x,
            centre.y,
            ground(&loaded) - 1.0,
        ))),
    ));
}
