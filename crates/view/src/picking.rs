//! What the pointer is over and what a tap picks; panels come first.

use crate::action::Action;
use crate::camera::SceneCamera;
use crate::coords;
use crate::draw::{pipes, shown};
use crate::loaded::Loaded;
use crate::look::Look;
use crate::measure::{Tape, snap};
use crate::ray::Ray;
use crate::selection::{Selection, Thing};
use bevy::prelude::*;
use bevy_egui::input::egui_wants_any_pointer_input;
use truefall_model::solid::Body;

/// A press that moved further than this before it was let go, in logical pixels, was a drag.
const STILL: f32 = 5.0;

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Press>().add_systems(Update, point.run_if(not(egui_wants_any_pointer_input)));
}

#[derive(Resource, Default)]
struct Press(Option<Vec2>);

/// The nearest thing a ray meets and where; parts before wood that they touch.
pub(crate) fn pick(loaded: &Loaded, look: &Look, ray: &Ray) -> Option<(Thing, Body, f64)> {
    let rough_in = &loaded.seen.rough_in;
    let placed = rough_in.placed(look.placement);
    let mut best: Option<(Thing, Body, f64)> = None;
    let mut offer = |thing, body: Body| {
        if let Some(d) = ray.hit(&body)
            && best.as_ref().is_none_or(|b| d < b.2)
        {
            best = Some((thing, body, d));
        }
    };
    for part in &rough_in.parts {
        if shown::point(loaded, look, placed.origin(part.id)) {
            for body in pipes::bodies(rough_in, look, part.id) {
                offer(Thing::Part(part.id), body);
            }
        }
    }
    for m in rough_in.framed.members.iter().filter(|m| shown::member(loaded, look, m)) {
        offer(Thing::Member(m.id), Body::Cuboid { pose: m.pose, half: m.half });
    }
    best
}

#[expect(clippy::too_many_arguments, reason = "the arguments of a system are what it reads and writes")]
fn point(
    window: Single<&Window>,
    camera: Single<(&Camera, &GlobalTransform), With<SceneCamera>>,
    (buttons, touches, keys): (Res<ButtonInput<MouseButton>>, Res<Touches>, Res<ButtonInput<KeyCode>>),
    (loaded, look): (Res<Loaded>, Res<Look>),
    mut press: ResMut<Press>,
    mut tape: ResMut<Tape>,
    mut selection: ResMut<Selection>,
    mut actions: MessageWriter<Action>,
) {
    let touch = touches
        .iter()
        .next()
        .map(|t| t.position())
        .or(touches.iter_just_released().next().map(|t| t.position()));
    let Some(cursor) = touch.or(window.cursor_position()) else { return };
    let (camera, at) = *camera;
    let Ok(line) = camera.viewport_to_world(at, cursor) else { return };
    let ray = Ray { from: coords::job_from_scene(line.origin), way: coords::job_direction(*line.direction) };
    let began = buttons.just_pressed(MouseButton::Left) || touches.any_just_pressed();
    let ended = buttons.just_released(MouseButton::Left) || touches.any_just_released();
    if buttons.pressed(MouseButton::Left) && !began && !ended {
        return;
    }
    let hit = pick(&loaded, &look, &ray);
    let over = hit.as_ref().map(|h| h.0);
    if selection.hover != over {
        selection.hover = over;
    }
    if began {
        // A second finger means to move or to go nearer, never to pick.
        press.0 = (touches.iter().count() < 2).then_some(cursor);
    }
    let tapped = ended && press.0.take().is_some_and(|from| from.distance(cursor) < STILL);
    match hit {
        Some((_, body, d)) if tapped && look.measuring => tape.pick(snap(&body, &ray, d)),
        Some((thing, ..)) if tapped && keys.any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]) => {
            selection.toggle(thing);
        }
        Some((thing, ..)) if tapped => {
            actions.write(Action::Pick(thing));
        }
        None if tapped => {
            actions.write(Action::Clear);
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use nalgebra::Vector3;
    use truefall_model::framing::member::MemberKind;

    #[test]
    fn a_ray_straight_at_a_tee_picks_it() {
        let loaded = demo();
        let id = loaded.by_label["T1"];
        let at = loaded.seen.rough_in.found.origin(id);
        // T1 hangs in the crawl space, where nothing stands between it and the south.
        let ray = Ray { from: at + Vector3::new(0.0, -60.0, 0.0), way: Vector3::y() };
        let (thing, _, d) = pick(&loaded, &Look::default(), &ray).expect("something is there");
        assert_eq!(thing, Thing::Part(id));
        assert!(d < 60.0);
    }
    // Looked down on, a sheet of the attic's subfloor lies over the rooms below: it is picked where it is laid, and what lies
    // under it where the framing is open.
    #[test]
    fn what_is_not_drawn_is_not_picked() {
        let loaded = demo();
        let framed = &loaded.seen.rough_in.framed;
        let attic =
            framed.floors.iter().max_by(|a, b| a.rough_z.total_cmp(&b.rough_z)).expect("it has floors");
        let sheet = framed
            .members
            .iter()
            .find(|m| m.kind == MemberKind::Subfloor && m.floor == Some(attic.id))
            .expect("the attic has a subfloor");
        let ray = Ray { from: sheet.centre() + Vector3::z() * 60.0, way: -Vector3::z() };
        let top = |cover| pick(&loaded, &Look { cover, ..Look::default() }, &ray).map(|(thing, ..)| thing);
        assert_eq!(top(1.0), Some(Thing::Member(sheet.id)));
        assert_ne!(top(0.0), Some(Thing::Member(sheet.id)));
    }

    /// An app with the pointer's system, a window of 800 x 600 and a camera that looks at T1 from the south.
    fn app() -> (App, Vec2) {
        let mut app = App::new();
        app.add_plugins((MinimalPlugins, bevy::input::InputPlugin));
        let loaded = demo();
        let at = loaded.seen.rough_in.found.origin(loaded.by_label["T1"]);
        let mut orbit = crate::camera::Orbit::whole(&loaded);
        orbit.stand(at + Vector3::new(0.0, -60.0, 0.0), at);
        let size = UVec2::new(800, 600);
        let mut camera = Camera::default();
        camera.computed.target_info =
            Some(bevy::camera::RenderTargetInfo { physical_size: size, scale_factor: 1.0 });
        camera.computed.clip_from_view =
            Mat4::perspective_infinite_reverse_rh(0.85, size.x as f32 / size.y as f32, 0.05);
        let place = GlobalTransform::from(orbit.transform());
        let cursor = camera.world_to_viewport(&place, coords::scene_from_job(at)).expect("it is in view");
        app.world_mut().spawn((SceneCamera, camera, place));
        app.world_mut().spawn(Window { resolution: (size.x, size.y).into(), ..default() });
        app.insert_resource(orbit).insert_resource(loaded).init_resource::<Look>().init_resource::<Press>();
        app.add_plugins(crate::action::plugin).add_systems(Update, point.before(crate::action::apply));
        (app, cursor)
    }

    fn mouse(app: &mut App, at: Vec2, state: bevy::input::ButtonState) {
        let window = app
            .world_mut()
            .query_filtered::<Entity, With<Window>>()
            .single(app.world())
            .expect("there is one window");
        app.world_mut().get_mut::<Window>(window).expect("a window").set_cursor_position(Some(at));
        app.world_mut().write_message(bevy::input::mouse::MouseButtonInput {
            button: MouseButton::Left,
            state,
            window,
        });
        app.update();
    }

    fn picked(app: &App) -> Option<Thing> {
        app.world().resource::<Selection>().primary()
    }

    #[test]
    fn a_click_picks_what_is_under_it_and_a_drag_picks_nothing() {
        use bevy::input::ButtonState::{Pressed, Released};
        let (mut app, at) = app();
        let tee = Thing::Part(app.world().resource::<Loaded>().by_label["T1"]);
        mouse(&mut app, at, Pressed);
        mouse(&mut app, at + Vec2::new(60.0, 0.0), Released);
        assert_eq!(picked(&app), None, "a drag turns and picks nothing");
        mouse(&mut app, at, Pressed);
        mouse(&mut app, at, Released);
        assert_eq!(picked(&app), Some(tee));
        let ground = Vec2::new(2.0, 598.0);
        mouse(&mut app, ground, Pressed);
        mouse(&mut app, ground, Released);
        assert_eq!(picked(&app), None, "a click on nothing lets go");
    }

    #[test]
    fn a_tap_picks_and_two_fingers_do_not() {
        use bevy::input::touch::{TouchInput, TouchPhase};
        let (mut app, at) = app();
        let tee = Thing::Part(app.world().resource::<Loaded>().by_label["T1"]);
        let touch = |app: &mut App, id: u64, phase: TouchPhase, position: Vec2| {
            let window = Entity::PLACEHOLDER;
            app.world_mut().write_message(TouchInput { phase, position, window, force: None, id });
            app.update();
        };
        touch(&mut app, 1, TouchPhase::Started, at);
        touch(&mut app, 2, TouchPhase::Started, at + Vec2::new(80.0, 0.0));
        touch(&mut app, 2, TouchPhase::Ended, at + Vec2::new(80.0, 0.0));
        touch(&mut app, 1, TouchPhase::Ended, at);
        assert_eq!(picked(&app), None);
        touch(&mut app, 3, TouchPhase::Started, at);
        touch(&mut app, 3, TouchPhase::Ended, at);
        assert_eq!(picked(&app), Some(tee));
    }

    // The tape's two taps on the same tee measure nothing; a tap while it is out picks no part.
    #[test]
    fn with_the_tape_out_taps_measure() {
        use bevy::input::ButtonState::{Pressed, Released};
        let (mut app, at) = app();
        app.world_mut().resource_mut::<Look>().measuring = true;
        for _ in 0..2 {
            mouse(&mut app, at, Pressed);
            mouse(&mut app, at, Released);
        }
        assert_eq!(picked(&app), None);
        assert_eq!(app.world().resource::<Tape>().picks.len(), 2);
        assert!(app.world().resource::<Tape>().text().expect("two picks").starts_with("0\""));
    }
}
