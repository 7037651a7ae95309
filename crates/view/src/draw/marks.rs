//! Bores as rings by their margin, plates and straps where they are nailed.

use super::{OfJob, mark, stuff};
use crate::coords::{self, METRES};
use crate::loaded::Loaded;
use crate::theme;
use bevy::prelude::*;
use std::collections::BTreeMap;
use truefall_check::Verdict;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Placement;

pub(super) fn draw(
    loaded: Res<Loaded>,
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let framed = &loaded.seen.rough_in.framed;
    let mut rings: BTreeMap<u64, Handle<Mesh>> = BTreeMap::new();
    for bore in loaded.seen.bores.iter().filter(|b| b.placement == Placement::Found) {
        let Some(member) = framed.member_of(bore.member) else { continue };
        let parts: Vec<&str> =
            bore.parts.iter().map(|p| loaded.seen.rough_in.part(*p).label.as_str()).collect();
        let told = loaded.seen.findings.iter().any(|f| {
            f.verdict == Verdict::RedTag
                && f.labels.contains(&member.label)
                && f.labels.iter().any(|l| parts.contains(&l.as_str()))
        });
        let radius = bore.drilled.hole.to_inches() / 2.0;
        let mesh = rings
            .entry(radius.to_bits())
            .or_insert_with(|| {
                meshes.add(
                    Torus {
                        minor_radius: (0.14 * METRES) as f32,
                        major_radius: ((radius + 0.1) * METRES) as f32,
                    }
                    .mesh()
                    .minor_resolution(8)
                    .major_resolution(36),
                )
            })
            .clone();
        let color = theme::ring(bore.cut.least().to_inches(), told);
        let material = materials.add(mark(color));
        let across = member.across();
        for side in [-1.0, 1.0] {
            let at = bore.centre + across.into_inner() * (member.half.x * side);
            commands.spawn((
                OfJob,
                Mesh3d(mesh.clone()),
                MeshMaterial3d(material.clone()),
                Transform::from_translation(coords::scene_from_job(at))
                    .with_rotation(Quat::from_rotation_arc(Vec3::Y, coords::direction(*across).normalize())),
            ));
        }
    }
    let steel = materials.add(stuff(theme::STEEL, 0.4, 0.7));
    for item in &loaded.job.provided {
        let (Provided::Plate { member, .. } | Provided::Strap { member, .. }) = item else { continue };
        let Some(m) = framed.member(member) else { continue };
        for bore in loaded.seen.bores.iter().filter(|b| b.placement == Placement::Found && b.member == m.id) {
            let deep = m.deep().into_inner();
            let face = bore.centre + deep * (m.half.y + 0.05 - (bore.centre - m.centre()).dot(&deep));
            let long = if matches!(item, Provided::Strap { .. }) { 8.0 } else { 2.5 };
            commands.spawn((
                OfJob,
                Mesh3d(meshes.add(Cuboid::new(
                    (1.5 * METRES) as f32,
                    (0.1 * METRES) as f32,
                    (2.0 * long * METRES) as f32,
                ))),
                MeshMaterial3d(steel.clone()),
                Transform::from_translation(coords::scene_from_job(face)).aligned_by(
                    Vec3::Y,
                    coords::direction(deep),
                    Vec3::Z,
                    coords::direction(*m.lengthwise()),
                ),
            ));
        }
    }
}
