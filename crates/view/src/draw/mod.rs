//! Puts the job into the scene: wood, pipe, finishes and fixtures, marks. One shared mesh a shape, placed and stretched;
//! entities carry the id of what they are, dimensions stay in the job.

mod covers;
mod fixture;
mod marks;
mod pipes;
mod shape;
pub(crate) mod shown;
mod wood;

use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::Selection;
use bevy::light::{CascadeShadowConfigBuilder, GlobalAmbientLight};
use bevy::prelude::*;
pub(crate) use shape::Shapes;

/// Everything that is drawn anew with the job.
#[derive(Component, Clone, Copy)]
pub(crate) struct OfJob;

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Shapes>()
        .insert_resource(GlobalAmbientLight { color: Color::WHITE, brightness: 900.0, ..default() })
        .add_systems(Startup, light)
        .add_systems(
            Update,
            (
                (clear, wood::draw, pipes::draw, covers::draw, fixture::draw, marks::draw)
                    .chain()
                    .run_if(resource_changed::<Loaded>),
                pipes::lean.run_if(resource_changed::<Look>.or_else(resource_changed::<Loaded>)),
                pipes::picked.run_if(resource_changed::<Selection>),
                covers::close.run_if(resource_changed::<Look>.or_else(resource_changed::<Loaded>)),
                shown::hide.run_if(resource_changed::<Look>.or_else(resource_changed::<Loaded>)),
            )
                .chain(),
        );
}

fn light(mut commands: Commands) {
    // One soft sun from the upper left front, as drawings are shaded.
    commands.spawn((
        DirectionalLight { illuminance: 3000.0, shadow_maps_enabled: true, ..default() },
        CascadeShadowConfigBuilder {
            num_cascades: 2,
            maximum_distance: 45.0,
            first_cascade_far_bound: 12.0,
            ..default()
        }
        .build(),
        Transform::from_xyz(-4.0, 9.0, 6.0).looking_at(Vec3::ZERO, Vec3::Y),
    ));
}

fn clear(mut commands: Commands, old: Query<Entity, With<OfJob>>) {
    for entity in &old {
        commands.entity(entity).despawn();
    }
}

/// Opaque stuff of a colour.
fn stuff(color: Color, roughness: f32, metallic: f32) -> StandardMaterial {
    StandardMaterial {
        base_color: color,
        perceptual_roughness: roughness,
        metallic,
        reflectance: 0.3,
        ..default()
    }
}

/// Translucent stuff of a colour, seen from both sides.
fn film(color: Color) -> StandardMaterial {
    StandardMaterial {
        alpha_mode: AlphaMode::Blend,
        cull_mode: None,
        double_sided: true,
        ..stuff(color, 0.9, 0.0)
    }
}

/// The ground, so that the house stands on something.
fn ground(loaded: &Loaded) -> f64 {
    loaded.seen.rough_in.framed.members.iter().map(|m| m.bounds().0.z).fold(0.0, f64::min).min(
        loaded
            .seen
            .rough_in
            .parts
            .iter()
            .map(|p| loaded.seen.rough_in.found.origin(p.id).z - 6.0)
            .fold(0.0, f64::min),
    )
}

/// Marks in one colour that glow a little, to be found in shade.
fn mark(color: Color) -> StandardMaterial {
    StandardMaterial { unlit: true, ..stuff(color, 1.0, 0.0) }
}
