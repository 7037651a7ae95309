//! Puts the job into the scene: wood, pipe, finishes and fixtures, marks. What is shown becomes pieces, pieces become
//! batches; dimensions stay in the job.

pub(crate) mod batch;
pub(crate) mod covers;
pub(crate) mod fixture;
mod marks;
pub(crate) mod pipes;
mod shape;
pub(crate) mod shown;
pub(crate) mod stuff;
mod ware;
mod wood;

use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::{Selection, Thing};
use batch::{Batches, Piece};
use bevy::light::{CascadeShadowConfigBuilder, GlobalAmbientLight};
use bevy::prelude::*;
use stuff::{Stuff, Surfaces};
use truefall_model::job::Placement;

/// Ground, wood, fixtures and marks.
#[derive(Component, Clone, Copy)]
pub(crate) struct OfHouse;

/// Parts.
#[derive(Component, Clone, Copy)]
pub(crate) struct OfRoughIn;

/// What is picked, a skin over its piece.
#[derive(Component, Clone, Copy)]
pub(crate) struct OfPicked;

/// How far the skin of a picked thing stands off it, inches.
const SKIN_IN: f64 = 0.06;

/// What of [`Look`] says which pieces there are and where; batches are made anew when it changes and only then.
#[derive(Resource, Debug, Clone, Default, PartialEq)]
pub(crate) struct Shown {
    clip: (Option<usize>, Option<usize>),
    laid: bool,
    found: bool,
    exaggeration: f32,
    lean: bool,
}

impl Shown {
    fn of(look: &Look) -> Self {
        Self {
            clip: (look.floor, look.wall),
            laid: look.cover >= shown::LAID,
            found: look.placement == Placement::Found,
            exaggeration: look.exaggeration,
            lean: look.lean,
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Surfaces>()
        .init_resource::<Shown>()
        .insert_resource(GlobalAmbientLight { color: Color::WHITE, brightness: 900.0, ..default() })
        .add_systems(Startup, light)
        .add_systems(
            Update,
            (
                note.run_if(resource_changed::<Look>),
                (house, rough_in).run_if(resource_changed::<Shown>.or_else(resource_changed::<Loaded>)),
                covers::draw.run_if(resource_changed::<Shown>.or_else(resource_changed::<Loaded>)),
                picked.run_if(
                    resource_changed::<Selection>
                        .or_else(resource_changed::<Shown>)
                        .or_else(resource_changed::<Loaded>),
                ),
                covers::close.run_if(resource_changed::<Look>.or_else(resource_changed::<Loaded>)),
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

fn note(look: Res<Look>, mut shown: ResMut<Shown>) {
    shown.set_if_neq(Shown::of(&look));
}

/// Everything that is drawn in batches.
pub(crate) fn pieces(loaded: &Loaded, look: &Look) -> Vec<Piece> {
    let mut all = wood::pieces(loaded, look);
    all.extend(fixture::pieces(loaded, look));
    all.extend(marks::pieces(loaded, look));
    all.extend(pipes::pieces(loaded, look));
    all
}

fn house(
    (loaded, look): (Res<Loaded>, Res<Look>),
    old: Query<Entity, With<OfHouse>>,
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut surfaces: ResMut<Surfaces>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    old.iter().for_each(|e| commands.entity(e).despawn());
    wood::earth(&loaded, &mut commands, &mut meshes, &mut materials);
    let mut all = wood::pieces(&loaded, &look);
    all.extend(fixture::pieces(&loaded, &look));
    all.extend(marks::pieces(&loaded, &look));
    Batches::of(all).spawn(OfHouse, &mut commands, &mut meshes, (&mut surfaces, &mut materials));
}

fn rough_in(
    (loaded, look): (Res<Loaded>, Res<Look>),
    old: Query<Entity, With<OfRoughIn>>,
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut surfaces: ResMut<Surfaces>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    old.iter().for_each(|e| commands.entity(e).despawn());
    let all = pipes::pieces(&loaded, &look);
    Batches::of(all).spawn(OfRoughIn, &mut commands, &mut meshes, (&mut surfaces, &mut materials));
}

fn picked(
    (loaded, look, selection): (Res<Loaded>, Res<Look>, Res<Selection>),
    old: Query<Entity, With<OfPicked>>,
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut surfaces: ResMut<Surfaces>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    old.iter().for_each(|e| commands.entity(e).despawn());
    let mut batches = Batches::default();
    for thing in selection.things() {
        let bodies = match thing {
            Thing::Part(id) => pipes::bodies(&loaded.seen.rough_in, &look, id),
            Thing::Member(id) => loaded
                .seen
                .rough_in
                .framed
                .member_of(id)
                .map(|m| truefall_model::solid::Body::Cuboid { pose: m.pose, half: m.half })
                .into_iter()
                .collect(),
        };
        for body in bodies {
            batches.add(&Piece::plain(body, Stuff::Picked), SKIN_IN);
        }
    }
    batches.spawn(OfPicked, &mut commands, &mut meshes, (&mut surfaces, &mut materials));
}

/// The ground, so that the house stands on something.
fn ground(loaded: &Loaded) -> f64 {
    let rough_in = &loaded.seen.rough_in;
    let wood = rough_in.framed.members.iter().map(|m| m.bounds().0.z).fold(0.0, f64::min);
    rough_in.parts.iter().map(|p| rough_in.found.origin(p.id).z - 6.0).fold(wood, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use bevy::ecs::system::RunSystemOnce as _;

    fn world() -> World {
        let mut world = World::new();
        world.insert_resource(demo());
        world.insert_resource(Look::default());
        world.init_resource::<Selection>();
        world.init_resource::<Surfaces>();
        world.init_resource::<Assets<Mesh>>();
        world.init_resource::<Assets<StandardMaterial>>();
        world
    }

    fn count<T: Component>(world: &mut World) -> usize {
        world.query_filtered::<(), With<T>>().iter(world).count()
    }

    #[test]
    fn drawing_again_leaves_nothing_of_before() {
        let mut world = world();
        world.run_system_once(rough_in).expect("it runs");
        let once = count::<OfRoughIn>(&mut world);
        world.run_system_once(rough_in).expect("it runs");
        assert!(once > 0);
        assert_eq!(count::<OfRoughIn>(&mut world), once);
    }

    #[test]
    fn what_is_picked_wears_a_skin_until_it_is_let_go() {
        let mut world = world();
        let part = world.resource::<Loaded>().by_label["T1"];
        world.resource_mut::<Selection>().set(Thing::Part(part));
        world.run_system_once(picked).expect("it runs");
        assert_eq!(count::<OfPicked>(&mut world), 1);
        world.resource_mut::<Selection>().clear();
        world.run_system_once(picked).expect("it runs");
        assert_eq!(count::<OfPicked>(&mut world), 0);
    }

    // Looking at one floor leaves the other's fixtures and pipes out.
    #[test]
    fn a_floor_clips_all_that_is_drawn() {
        let loaded = demo();
        let whole = Look::default();
        for i in 0..loaded.seen.rough_in.framed.floors.len() {
            let one = Look { floor: Some(i), ..Look::default() };
            assert!(fixture::pieces(&loaded, &one).len() < fixture::pieces(&loaded, &whole).len());
            assert!(pipes::pieces(&loaded, &one).len() < pipes::pieces(&loaded, &whole).len());
        }
    }
}
