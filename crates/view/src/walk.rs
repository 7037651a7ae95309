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
use truefall_packet::walk::eye::EYE_IN;

/// Half of a person's breadth, inches: common practice for passages.
const BODY_IN: f64 = 10.0;
/// Walking speed, inches a second: an unhurried pace.
const PACE: f64 = 55.0;
/// Seconds at a stop while the walk goes on by itself.
const STAY: f32 = 7.0;

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, (step.run_if(not(egui_wants_any_keyboard_input)), go_on));
}

/// Where one comes to who goes from a place by a step, sliding along walls that stand at eye height.
pub(crate) fn walked(framed: &Framed, from: Point2<f64>, z: f64, by: Vector2<f64>) -> Point2<f64> {
    let free = |p: Point2<f64>| {
        framed.walls.iter().filter(|w| (w.z0..w.z1).contains(&(z - EYE_IN + 20.0))).all(|w| {
            let (along, out) = w.measure(p);
            !((-BODY_IN..=w.length + BODY_IN).contains(&along)
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
    let ahead = held(KeyCode::KeyW, KeyCode::ArrowUp) - held(KeyCode::KeyS, KeyCode::ArrowDown);
    let aside = held(KeyCode::KeyD, KeyCode::ArrowRight) - held(KeyCode::KeyA, KeyCode::ArrowLeft);
    let eye = orbit.eye();
    let stand = floor.finished_z + EYE_IN;
    let (s, c) = orbit.turn.sin_cos();
    let (front, right) = (Vector2::new(-s, c), Vector2::new(c, s));
    let by = (front * ahead + right * aside) * PACE * f64::from(time.delta_secs().min(0.1));
    if by.norm() < 1e-9 && (eye.z - stand).abs() < 1e-6 {
        return;
    }
    let to = walked(framed, eye.xy(), stand, by);
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
            at = walked(framed, at, EYE_IN, Vector2::new(0.0, -1.0));
        }
        // Finished face and half a body before the studs at 120.
        assert!(at.y > 120.0 && at.y < 140.0, "stopped before the wall, near it: {at}");
    }
}
