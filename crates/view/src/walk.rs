//! Walking on one's own feet, and the guided walk that goes on by itself.

use crate::action::Action;
use crate::camera::Orbit;
use crate::loaded::Loaded;
use crate::look::Look;
use bevy::prelude::*;
use bevy::window::RequestRedraw;
use bevy_egui::input::egui_wants_any_keyboard_input;
use nalgebra::{Point2, Vector2};
use truefall_model::framing::frame::Framed;
use truefall_model::framing::member::WallId;
use truefall_model::job::Job;
use truefall_packet::walk::eye::EYE_IN;

/// Half of a person's breadth, inches: common practice for passages.
const BODY_IN: f64 = 10.0;
/// Walking speed, inches a second: an unhurried pace.
const PACE: f64 = 55.0;
/// Seconds at a stop while the walk goes on by itself.
const STAY: f32 = 7.0;

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Feet>().add_systems(Update, (step.run_if(not(egui_wants_any_keyboard_input)), go_on));
}

/// What a finger on the buttons asks for: ahead and aside, each from -1 to 1; taken up by the next step.
#[derive(Resource, Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Feet {
    /// Forwards.
    pub(crate) ahead: f64,
    /// To the right.
    pub(crate) aside: f64,
}

/// A door: the wall it is in and the clear width, inches along that wall.
type Door = (WallId, f64, f64);

/// The doors of a house: openings without a sill, in walls that were framed.
pub(crate) fn doors(job: &Job, framed: &Framed) -> Vec<Door> {
    let mut doors = Vec::new();
    for wall in &job.house.walls {
        let Some(space) = framed.wall(&wall.name) else { continue };
        for door in wall.openings.iter().filter(|o| o.sill.is_none()) {
            let from = door.from.to_inches();
            doors.push((space.id, from, from + door.width.to_inches()));
        }
    }
    doors
}

/// Where one comes to who goes from a place by a step: through doors, else sliding along walls that stand on this floor.
pub(crate) fn walked(
    framed: &Framed,
    doors: &[Door],
    from: Point2<f64>,
    z: f64,
    by: Vector2<f64>,
) -> Point2<f64> {
    let free = |p: Point2<f64>| {
        framed.walls.iter().filter(|w| (w.z0..w.z1).contains(&(z - EYE_IN + 20.0))).all(|w| {
            let (along, out) = w.measure(p);
            let door = doors
                .iter()
                .any(|(wall, near, far)| *wall == w.id && (near + BODY_IN..=far - BODY_IN).contains(&along));
            door || !((-BODY_IN..=w.length + BODY_IN).contains(&along)
                && (-w.depth - w.finish_back - BODY_IN..=w.finish_room + BODY_IN).contains(&out))
        })
    };
    // Who already stands too near may walk away in any direction.
    if free(from + by) || !free(from) {
        return from + by;
    }
    // Along the wall: the parts of the step that stay free.
    for wall in &framed.walls {
        let slid = from + wall.along * by.dot(&wall.along);
        if by.dot(&wall.along).abs() > 1e-9 && free(slid) {
            return slid;
        }
    }
    from
}

fn step(
    keys: Res<ButtonInput<KeyCode>>,
    time: Res<Time>,
    loaded: Res<Loaded>,
    look: Res<Look>,
    mut feet: ResMut<Feet>,
    mut orbit: ResMut<Orbit>,
    mut redraw: MessageWriter<RequestRedraw>,
) {
    if !look.walking {
        return;
    }
    let framed = &loaded.seen.rough_in.framed;
    let floor =
        look.floor.and_then(|i| framed.floors.get(i)).or_else(|| framed.floors.iter().find(|f| f.datum));
    let Some(floor) = floor else { return };
    let held = |a, b| f64::from(u8::from(keys.any_pressed([a, b])));
    let asked = std::mem::take(&mut *feet);
    let ahead = asked.ahead + held(KeyCode::KeyW, KeyCode::ArrowUp) - held(KeyCode::KeyS, KeyCode::ArrowDown);
    let aside =
        asked.aside + held(KeyCode::KeyD, KeyCode::ArrowRight) - held(KeyCode::KeyA, KeyCode::ArrowLeft);
    let eye = orbit.eye();
    let stand = floor.finished_z + EYE_IN;
    let (s, c) = orbit.turn.sin_cos();
    let (front, right) = (Vector2::new(-s, c), Vector2::new(c, s));
    let by = (front * ahead + right * aside) * PACE * f64::from(time.delta_secs().min(0.1));
    if by.norm() < 1e-9 && (eye.z - stand).abs() < 1e-6 {
        return;
    }
    let to = walked(framed, &doors(&loaded.job, framed), eye.xy(), stand, by);
    let look_at = orbit.target - eye;
    orbit.target = nalgebra::Point3::new(to.x, to.y, stand) + look_at;
    redraw.write(RequestRedraw);
}

fn go_on(
    time: Res<Time>,
    loaded: Res<Loaded>,
    look: Res<Look>,
    mut waited: Local<f32>,
    mut actions: MessageWriter<Action>,
    mut redraw: MessageWriter<RequestRedraw>,
) {
    let (true, Some(stop)) = (look.playing, look.stop) else {
        *waited = 0.0;
        return;
    };
    redraw.write(RequestRedraw);
    *waited += time.delta_secs();
    if *waited > STAY {
        *waited = 0.0;
        if stop + 1 < loaded.stops.len() {
            actions.write(Action::Stop(stop + 1));
        } else {
            actions.write(Action::Look(Box::new(Look { playing: false, ..look.clone() })));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;

    // The demo's bath wall runs from 6' to 18' along y = 10'; nobody walks through it.
    #[test]
    fn nobody_walks_through_a_wall() {
        let loaded = demo();
        let framed = &loaded.seen.rough_in.framed;
        let mut at = Point2::new(144.0, 180.0);
        for _ in 0..200 {
            at = walked(framed, &[], at, EYE_IN, Vector2::new(0.0, -1.0));
        }
        // Finished face and half a body before the studs at 120.
        assert!(at.y > 120.0 && at.y < 140.0, "stopped before the wall, near it: {at}");
    }

    // A door 30 in wide stands open to a person 20 in broad who goes for its middle, and to nobody who goes for its jamb.
    #[test]
    fn one_walks_through_a_door_and_not_through_its_jamb() {
        let text = r#"Job(name: "a door", house: (
            floors: [(name: "first", datum: true)],
            walls: [Wall(name: "hall wall", floor: "first", from: ("0", "10' 0"), to: ("16' 0", "10' 0"),
                depth: "3 1/2", bearing: false,
                openings: [WallOpening(name: "D1", from: "8' 0", width: "30", head: "6' 10")])],
        ))"#;
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("door.ron");
        std::fs::write(&file, text).unwrap();
        let loaded = crate::loaded::Loaded::load(&file).expect("a door is a usual thing");
        let framed = &loaded.seen.rough_in.framed;
        let doors = doors(&loaded.job, framed);
        let (id, near, far) = doors[0];
        assert_eq!((doors.len(), near, far), (1, 96.0, 126.0));
        let wall = framed.wall_of(id).expect("its wall is framed");
        let end = |along: f64| {
            let mut at = wall.at(along, 60.0);
            for _ in 0..120 {
                at = walked(framed, &doors, at, EYE_IN, -wall.into_room);
            }
            wall.measure(at).1
        };
        assert!(end(111.0) < -40.0, "through the middle: {}", end(111.0));
        assert!(end(99.0) > 0.0, "not through the jamb: {}", end(99.0));
    }

    #[test]
    fn a_finger_on_ahead_walks_one_step_and_no_further() {
        use bevy::ecs::system::RunSystemOnce as _;
        let loaded = demo();
        let mut orbit = Orbit::whole(&loaded);
        orbit.stand(nalgebra::Point3::new(144.0, 200.0, 62.0), nalgebra::Point3::new(144.0, 260.0, 62.0));
        let mut world = World::new();
        world.insert_resource(loaded);
        world.insert_resource(Look { walking: true, ..Look::default() });
        world.insert_resource(Feet { ahead: 1.0, aside: 0.0 });
        world.init_resource::<ButtonInput<KeyCode>>();
        world.init_resource::<Messages<RequestRedraw>>();
        let mut time = Time::<()>::default();
        time.advance_by(std::time::Duration::from_millis(100));
        world.insert_resource(time);
        let from = orbit.eye();
        world.insert_resource(orbit);
        world.run_system_once(step).expect("it runs");
        let there = world.resource::<Orbit>().eye();
        // A tenth of a second at 55 in a second.
        assert!((there.y - from.y - 5.5).abs() < 1e-6, "{from} {there}");
        world.run_system_once(step).expect("it runs");
        assert!((world.resource::<Orbit>().eye() - there).norm() < 1e-6);
    }
}
