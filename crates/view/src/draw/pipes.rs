//! Parts: an entity a part, carrying the bodies the checks see; as found, leaning as much as asked, and as drawn beside it.

use super::{OfJob, Shapes, film, stuff};
use crate::coords;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::{Selection, Thing};
use crate::theme;
use bevy::prelude::*;
use nalgebra::{Isometry3, UnitQuaternion};
use std::collections::BTreeMap;
use truefall_model::job::Placement;
use truefall_model::place::{PartId, RoughIn};

/// A part of the rough-in.
#[derive(Component, Clone, Copy)]
pub(crate) struct PartMark(pub(crate) PartId);

/// The drawn placement beside the found one.
#[derive(Component, Clone, Copy)]
pub(super) struct Ghost;

/// What a body looks like when it is not picked.
#[derive(Component, Clone)]
pub(super) struct Plain(PartId, Handle<StandardMaterial>);

/// What a picked body looks like.
#[derive(Resource, Clone)]
pub(super) struct Picked(Handle<StandardMaterial>);

pub(super) fn draw(
    loaded: Res<Loaded>,
    mut commands: Commands,
    mut shapes: ResMut<Shapes>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let rough_in = &loaded.seen.rough_in;
    let mut by_material = BTreeMap::new();
    let ghost = materials.add(film(theme::GHOST));
    commands.insert_resource(Picked(materials.add(stuff(theme::PICKED, 0.5, 0.0))));
    for part in &rough_in.parts {
        let material = by_material
            .entry(part.material.word())
            .or_insert_with(|| {
                let (color, rough, metal) = theme::pipe(part.material);
                materials.add(stuff(color, rough, metal))
            })
            .clone();
        let frame = rough_in.found.world_from_part[part.id.0 as usize];
        let bodies: Vec<_> = rough_in
            .found
            .bodies_of(part.id)
            .iter()
            .map(|b| shapes.of(&mut meshes, &b.transformed(&frame.inverse())))
            .collect();
        for is_ghost in [false, true] {
            let at = coords::pose(&rough_in.drawn.world_from_part[part.id.0 as usize]);
            let mut of_part = commands.spawn((OfJob, PartMark(part.id), at, Visibility::default()));
            if is_ghost {
                of_part.insert((Ghost, Visibility::Hidden));
            }
            let look = if is_ghost { ghost.clone() } else { material.clone() };
            of_part.with_children(|children| {
                for (mesh, transform) in &bodies {
                    let mut child =
                        children.spawn((Mesh3d(mesh.clone()), MeshMaterial3d(look.clone()), *transform));
                    if !is_ghost {
                        child.insert(Plain(part.id, look.clone()));
                    }
                }
            });
        }
    }
}

/// Where a part is drawn: on the way from drawn to found and beyond, as far as the lean is exaggerated.
pub(crate) fn frame(rough_in: &RoughIn, look: &Look, part: PartId) -> Isometry3<f64> {
    let i = part.0 as usize;
    let (drawn, found) = (rough_in.drawn.world_from_part[i], rough_in.found.world_from_part[i]);
    let times = match look.placement {
        Placement::Drawn => 0.0,
        Placement::Found => f64::from(look.exaggeration),
    };
    let moved = found.translation.vector - drawn.translation.vector;
    let turned = (found.rotation * drawn.rotation.inverse()).scaled_axis();
    Isometry3::from_parts(
        (drawn.translation.vector + moved * times).into(),
        UnitQuaternion::from_scaled_axis(turned * times) * drawn.rotation,
    )
}

pub(super) fn lean(
    loaded: Res<Loaded>,
    look: Res<Look>,
    mut parts: Query<(&PartMark, &mut Transform, &mut Visibility, Has<Ghost>)>,
) {
    let rough_in = &loaded.seen.rough_in;
    for (mark, mut transform, mut visibility, ghost) in &mut parts {
        if ghost {
            *visibility = if look.lean { Visibility::Inherited } else { Visibility::Hidden };
        } else {
            *transform = coords::pose(&frame(rough_in, &look, mark.0));
        }
    }
}

pub(super) fn picked(
    selection: Res<Selection>,
    picked: Option<Res<Picked>>,
    mut bodies: Query<(&Plain, &mut MeshMaterial3d<StandardMaterial>)>,
) {
    let Some(picked) = picked else { return };
    for (Plain(part, plain), mut material) in &mut bodies {
        let wanted = if selection.holds(Thing::Part(*part)) { &picked.0 } else { plain };
        if material.0 != *wanted {
            material.0 = wanted.clone();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;

    // 1x is the found placement itself; 10x moves ten times as far.
    #[test]
    fn exaggeration_multiplies_how_far_a_part_moved() {
        let loaded = demo();
        let rough_in = &loaded.seen.rough_in;
        let top = loaded.by_label["T5"];
        let at =
            |x: f32| frame(rough_in, &Look { exaggeration: x, ..Look::default() }, top).translation.vector;
        let (one, ten) = (at(1.0), at(10.0));
        let drawn = rough_in.drawn.origin(top).coords;
        assert!((one - rough_in.found.origin(top).coords).norm() < 1e-9);
        assert!((one - drawn).norm() > 0.5, "the demo's stack leans");
        assert!((ten - drawn - (one - drawn) * 10.0).norm() < 1e-6);
    }
}
