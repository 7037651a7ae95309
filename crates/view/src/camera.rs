//! Where one looks from: round a point (orbit, pan, zoom) or from where one stands.

use crate::action::Action;
use crate::coords::{self, METRES};
use crate::draw::batch::Form;
use crate::draw::{fixture, shown};
use crate::loaded::Loaded;
use crate::look::Look;
use crate::ray::Ray;
use crate::theme;
use bevy::camera::visibility::RenderLayers;
use bevy::camera::{CameraOutputMode, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::input::gestures::PinchGesture;
use bevy::input::mouse::{AccumulatedMouseMotion, AccumulatedMouseScroll, MouseScrollUnit};
use bevy::prelude::*;
use bevy::render::render_resource::BlendState;
use bevy_egui::PrimaryEguiContext;
use bevy_egui::input::{egui_wants_any_keyboard_input, egui_wants_any_pointer_input};
use nalgebra::{Point3, Vector3};
use truefall_model::solid::Body;

/// The camera that sees the house.
#[derive(Component)]
pub(crate) struct SceneCamera;

/// One key each.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum View {
    /// The whole from outside.
    Whole,
    /// Straight down.
    Plan,
    /// A wall face on, by its number.
    Wall(usize),
}

/// Where one looks from, job axes, inches and radians.
#[derive(Resource, Debug, Clone, PartialEq)]
pub(crate) struct Orbit {
    /// What is looked at.
    pub(crate) target: Point3<f64>,
    /// From there to the eye.
    pub(crate) distance: f64,
    /// Round the vertical; 0 looks towards +y.
    pub(crate) turn: f64,
    /// Up from level.
    pub(crate) rise: f64,
    /// Breadth of the picture over its height; what is to be seen whole is seen whole in a narrow one too.
    pub(crate) aspect: f64,
}

/// How much is seen up and down, radians.
const FOV: f32 = 0.85;

/// How near one goes to a finding, inches.
const NEAR_IN: f64 = 84.0;

/// Room left round what is seen whole, as a share of it.
const MARGIN: f64 = 1.06;

impl Orbit {
    /// The whole house.
    pub(crate) fn whole(loaded: &Loaded) -> Self {
        let mut orbit = Self { target: Point3::origin(), distance: 400.0, turn: 0.0, rise: 0.5, aspect: 1.6 };
        orbit.view(loaded, &View::Whole);
        orbit
    }

    /// Stands at an eye and looks at a point.
    pub(crate) fn stand(&mut self, eye: Point3<f64>, look: Point3<f64>) {
        let off = eye - look;
        self.target = look;
        self.distance = off.norm().max(6.0);
        self.rise = (off.z / self.distance).clamp(-1.0, 1.0).asin();
        self.turn = off.x.atan2(-off.y);
    }

    /// Goes near a point, and turns no further than it must to see it past wood and pipe.
    pub(crate) fn near(&mut self, loaded: &Loaded, look: &Look, at: Point3<f64>) {
        let distance = self.distance.min(NEAR_IN);
        let mut best: Option<(f64, Self)> = None;
        for turn in [0.0, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6, 2.4, -2.4, 3.1] {
            for rise in [self.rise, 0.5, 0.1, 0.9, -0.25] {
                let tried = Self { target: at, distance, turn: self.turn + turn, rise, aspect: self.aspect };
                let cost = tried.hidden(loaded, look) + 0.25 * (turn.abs() + (rise - self.rise).abs());
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, tried));
                }
            }
        }
        if let Some((_, orbit)) = best {
            *self = orbit;
        }
    }

    /// How many things stand between the eye and what it looks at. What is looked at is in or beside something itself, so the
    /// last inches don't count.
    fn hidden(&self, loaded: &Loaded, look: &Look) -> f64 {
        let eye = self.eye();
        let ray = Ray { from: eye, way: (self.target - eye).normalize() };
        let before = self.distance - 5.0;
        let blocks = |body: &Body| ray.hit(body).is_some_and(|d| d < before);
        let rough_in = &loaded.seen.rough_in;
        let wood = rough_in.framed.members.iter().filter(|m| shown::member(loaded, look, m));
        let wood = wood.filter(|m| blocks(&Body::Cuboid { pose: m.pose, half: m.half })).count();
        let pipes = rough_in.found.bodies.iter().filter(|part| part.iter().any(blocks)).count();
        let wares = fixture::pieces(loaded, look);
        let wares = wares.iter().filter(|p| matches!(&p.form, Form::Body(b) if blocks(b))).count();
        // From under the ground nothing is seen at all.
        let low = rough_in.framed.members.iter().map(|m| m.bounds().0.z).fold(0.0, f64::min);
        (wood + pipes + wares) as f64 + if eye.z < low { 20.0 } else { 0.0 }
    }

    /// One of the fixed views.
    pub(crate) fn view(&mut self, loaded: &Loaded, view: &View) {
        match view {
            View::Whole => {
                if let Some(stop) = loaded.stops.first() {
                    self.stand(Point3::from(stop.eye), Point3::from(stop.look));
                }
                *self = self.clone().fitted(loaded);
            }
            View::Plan => {
                self.view(loaded, &View::Whole);
                self.turn = 0.0;
                self.rise = std::f64::consts::FRAC_PI_2 - 1e-3;
                *self = self.clone().fitted(loaded);
            }
            View::Wall(i) => {
                if let Some(w) = loaded.seen.rough_in.framed.walls.get(*i) {
                    let look = w.at_height(w.length / 2.0, 0.0, f64::midpoint(w.z0, w.z1));
                    let n = Vector3::new(w.into_room.x, w.into_room.y, 0.0);
                    let half_up = f64::from(FOV / 2.0).tan();
                    let back = ((w.z1 - w.z0) / 2.0 / half_up).max(w.length / 2.0 / half_up / self.aspect);
                    self.stand(look + n * (back * MARGIN + 12.0), look);
                }
            }
        }
    }

    /// Looking the same way, so placed that all wood and pipe is in the picture and fills it.
    fn fitted(mut self, loaded: &Loaded) -> Self {
        let rough_in = &loaded.seen.rough_in;
        let parts = rough_in.found.bodies.iter().flatten().flat_map(|b| {
            let (low, high) = b.aabb();
            [low, high]
        });
        let points: Vec<Point3<f64>> =
            rough_in.framed.members.iter().flat_map(|m| m.corners()).chain(parts).collect();
        let back = (self.eye() - self.target).normalize();
        let right = (-back).cross(&Vector3::z()).normalize();
        let up = right.cross(&-back);
        let half_up = f64::from(FOV / 2.0).tan();
        if points.is_empty() {
            return self;
        }
        // In turns: how far back all of it is in the picture, and how far aside it is in the middle of it.
        for _ in 0..8 {
            let mut far = 0.0_f64;
            let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
            for p in &points {
                let d = p - self.target;
                let near = d.dot(&back);
                for (i, (way, half)) in
                    [(right, half_up * self.aspect), (up, half_up)].into_iter().enumerate()
                {
                    let off = d.dot(&way);
                    far = far.max(near + off.abs() / half * MARGIN);
                    let seen = off / (self.distance - near).max(1.0);
                    low[i] = low[i].min(seen);
                    high[i] = high[i].max(seen);
                }
            }
            self.distance = far.max(6.0);
            self.target += (right * (low[0] + high[0]) + up * (low[1] + high[1])) / 2.0 * self.distance;
        }
        // Once more from where it stands now, so that nothing is cut off.
        let far = points.iter().fold(6.0_f64, |far, p| {
            let d = p - self.target;
            let side = (d.dot(&right).abs() / (half_up * self.aspect)).max(d.dot(&up).abs() / half_up);
            far.max(d.dot(&back) + side * MARGIN)
        });
        self.distance = far;
        self
    }

    /// Where the eye is.
    pub(crate) fn eye(&self) -> Point3<f64> {
        let (st, ct) = self.turn.sin_cos();
        let (sr, cr) = self.rise.sin_cos();
        self.target + Vector3::new(st * cr, -ct * cr, sr) * self.distance
    }

    /// In the scene.
    pub(crate) fn transform(&self) -> Transform {
        Transform::from_translation(coords::scene_from_job(self.eye()))
            .looking_at(coords::scene_from_job(self.target), Vec3::Y)
    }
}

pub(super) fn plugin(app: &mut App) {
    app.insert_resource(ClearColor(theme::SKY)).add_systems(Startup, begin).add_systems(
        Update,
        (
            by_pointer.run_if(not(egui_wants_any_pointer_input)),
            by_keys.run_if(not(egui_wants_any_keyboard_input)),
            shape,
            follow,
        )
            .chain(),
    );
}

fn begin(loaded: Res<Loaded>, mut commands: Commands) {
    commands.insert_resource(Orbit::whole(&loaded));
}

/// The two cameras: the house, and over it the paper and panels.
pub(crate) fn spawn(commands: &mut Commands, target: &RenderTarget, samples: Msaa) {
    commands.spawn((
        SceneCamera,
        Camera3d::default(),
        Camera::default(),
        target.clone(),
        Tonemapping::None,
        samples,
        Projection::Perspective(PerspectiveProjection { near: 0.05, fov: FOV, ..default() }),
        Transform::default(),
    ));
    commands.spawn((
        PrimaryEguiContext,
        Camera2d,
        RenderLayers::none(),
        Msaa::Off,
        target.clone(),
        Camera {
            order: 1,
            output_mode: CameraOutputMode::Write {
                blend_state: Some(BlendState::ALPHA_BLENDING),
                clear_color: ClearColorConfig::None,
            },
            clear_color: ClearColorConfig::Custom(Color::NONE),
            ..default()
        },
    ));
}

pub(crate) fn spawn_for_window(mut commands: Commands) {
    spawn(&mut commands, &RenderTarget::default(), Msaa::Sample4);
}

fn by_pointer(
    (buttons, touches): (Res<ButtonInput<MouseButton>>, Res<Touches>),
    (motion, scroll): (Res<AccumulatedMouseMotion>, Res<AccumulatedMouseScroll>),
    keys: Res<ButtonInput<KeyCode>>,
    mut pinches: MessageReader<PinchGesture>,
    look: Res<Look>,
    mut orbit: ResMut<Orbit>,
) {
    let shift = keys.any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    let mut turn = Vec2::ZERO;
    let mut pan = Vec2::ZERO;
    let mut zoom = 0.0_f32;
    if buttons.pressed(MouseButton::Left) && !shift {
        turn += motion.delta;
    } else if buttons.pressed(MouseButton::Right)
        || buttons.pressed(MouseButton::Middle)
        || buttons.pressed(MouseButton::Left)
    {
        pan += motion.delta;
    }
    let fingers: Vec<_> = touches.iter().collect();
    match fingers.as_slice() {
        [one] => turn += one.delta(),
        [a, b, ..] => {
            pan += (a.delta() + b.delta()) / 2.0;
            let before = a.previous_position().distance(b.previous_position()).max(1.0);
            zoom += (a.position().distance(b.position()) / before).max(0.1).ln();
        }
        [] => {}
    }
    match scroll.unit {
        MouseScrollUnit::Line => zoom += scroll.delta.y * 0.12,
        // Two fingers on a trackpad; with shift they move, as the mouse does.
        MouseScrollUnit::Pixel if shift => pan += scroll.delta,
        MouseScrollUnit::Pixel => zoom += scroll.delta.y * 0.002,
    }
    zoom += pinches.read().map(|p| p.0).sum::<f32>();
    if turn == Vec2::ZERO && pan == Vec2::ZERO && zoom == 0.0 {
        return;
    }
    if look.walking || look.stop.is_some() {
        // Standing, the eye stays where it is and the head turns.
        let eye = orbit.eye();
        orbit.turn -= f64::from(turn.x) * 0.004;
        orbit.rise = (orbit.rise + f64::from(turn.y) * 0.004).clamp(-1.4, 1.4);
        let off = orbit.eye() - orbit.target;
        orbit.target = eye - off;
        return;
    }
    orbit.turn -= f64::from(turn.x) * 0.006;
    orbit.rise = (orbit.rise + f64::from(turn.y) * 0.006).clamp(-1.55, 1.55);
    orbit.distance = (orbit.distance * f64::from(-zoom).exp()).clamp(6.0, 6000.0);
    let t = orbit.transform();
    let step = (orbit.distance * METRES * 0.0012) as f32;
    let moved = *t.left() * pan.x * step + *t.up() * pan.y * step;
    orbit.target += coords::job_direction(moved) / METRES;
}

fn by_keys(
    keys: Res<ButtonInput<KeyCode>>,
    loaded: Res<Loaded>,
    look: Res<Look>,
    mut actions: MessageWriter<Action>,
) {
    const DIGITS: [KeyCode; 9] = [
        KeyCode::Digit1,
        KeyCode::Digit2,
        KeyCode::Digit3,
        KeyCode::Digit4,
        KeyCode::Digit5,
        KeyCode::Digit6,
        KeyCode::Digit7,
        KeyCode::Digit8,
        KeyCode::Digit9,
    ];
    for (i, key) in DIGITS.into_iter().enumerate() {
        if keys.just_pressed(key) && i < loaded.seen.rough_in.framed.walls.len() {
            actions.write(Action::View(View::Wall(i)));
        }
    }
    let change = |f: &dyn Fn(&mut Look)| {
        let mut new = look.clone();
        f(&mut new);
        Action::Look(Box::new(new))
    };
    for key in keys.get_just_pressed() {
        let stop = look.stop.unwrap_or(0);
        let action = match key {
            KeyCode::Home => Action::View(View::Whole),
            KeyCode::KeyP => Action::View(View::Plan),
            KeyCode::Escape => Action::Leave,
            KeyCode::KeyM => change(&|l| l.measuring = !l.measuring),
            KeyCode::KeyL => change(&|l| l.lean = !l.lean),
            KeyCode::KeyT => change(&|l| l.tags = !l.tags),
            KeyCode::KeyG => change(&|l| {
                l.walking = !l.walking;
                l.stop = None;
            }),
            KeyCode::Space if look.stop.is_some() => change(&|l| l.playing = !l.playing),
            KeyCode::PageDown => Action::Stop((stop + 1).min(loaded.stops.len().saturating_sub(1))),
            KeyCode::PageUp => Action::Stop(stop.saturating_sub(1)),
            _ => continue,
        };
        actions.write(action);
    }
}

/// Follows the picture's shape; what was seen whole before anyone moved is fitted anew.
fn shape(loaded: Res<Loaded>, camera: Single<&Camera, With<SceneCamera>>, mut orbit: ResMut<Orbit>) {
    let Some(size) = camera.logical_viewport_size().filter(|s| s.y > 0.0) else { return };
    let aspect = f64::from(size.x / size.y);
    if (orbit.aspect - aspect).abs() > 1e-3 {
        let mut untouched = Orbit { aspect: orbit.aspect, ..Orbit::whole(&loaded) };
        untouched.view(&loaded, &View::Whole);
        let whole = *orbit == untouched;
        orbit.aspect = aspect;
        if whole {
            orbit.view(&loaded, &View::Whole);
        }
    }
}

fn follow(orbit: Res<Orbit>, mut camera: Single<&mut Transform, With<SceneCamera>>) {
    let wanted = orbit.transform();
    if **camera != wanted {
        **camera = wanted;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use bevy::ecs::system::RunSystemOnce as _;
    use bevy::input::touch::{TouchInput, TouchPhase};

    #[test]
    fn standing_somewhere_puts_the_eye_there() {
        let mut orbit = Orbit::whole(&demo());
        let (eye, look) = (Point3::new(40.0, -20.0, 62.0), Point3::new(100.0, 80.0, 20.0));
        orbit.stand(eye, look);
        assert!((orbit.eye() - eye).norm() < 1e-9);
    }

    #[test]
    fn a_wall_face_on_is_seen_from_its_room() {
        let loaded = demo();
        let mut orbit = Orbit::whole(&loaded);
        orbit.view(&loaded, &View::Wall(0));
        let (_, out) = loaded.seen.rough_in.framed.walls[0].measure(orbit.eye().xy());
        assert!(out > 0.0);
    }
    /// An app with the pointer's system and nothing else, the camera where the whole is seen.
    fn app() -> App {
        let mut app = App::new();
        app.add_plugins((MinimalPlugins, bevy::input::InputPlugin));
        let loaded = demo();
        app.insert_resource(Orbit::whole(&loaded)).insert_resource(loaded).init_resource::<Look>();
        app.add_systems(Update, by_pointer);
        app
    }

    fn finger(app: &mut App, id: u64, phase: TouchPhase, x: f32, y: f32) {
        let window = Entity::PLACEHOLDER;
        app.world_mut().write_message(TouchInput {
            phase,
            position: Vec2::new(x, y),
            window,
            force: None,
            id,
        });
    }

    fn orbit(app: &App) -> Orbit {
        app.world().resource::<Orbit>().clone()
    }

    #[test]
    fn one_finger_turns_round_and_moves_nothing() {
        let mut app = app();
        finger(&mut app, 1, TouchPhase::Started, 300.0, 300.0);
        app.update();
        let before = orbit(&app);
        finger(&mut app, 1, TouchPhase::Moved, 350.0, 320.0);
        app.update();
        let after = orbit(&app);
        assert!((after.turn - (before.turn - 50.0 * 0.006)).abs() < 1e-6, "{after:?}");
        assert!(after.rise > before.rise);
        assert_eq!((after.target, after.distance), (before.target, before.distance));
    }

    // Fingers twice as far apart halve the distance: what is between them stays between them.
    #[test]
    fn two_fingers_apart_go_nearer_by_as_much() {
        let mut app = app();
        finger(&mut app, 1, TouchPhase::Started, 300.0, 300.0);
        finger(&mut app, 2, TouchPhase::Started, 400.0, 300.0);
        app.update();
        let before = orbit(&app);
        finger(&mut app, 1, TouchPhase::Moved, 250.0, 300.0);
        finger(&mut app, 2, TouchPhase::Moved, 450.0, 300.0);
        app.update();
        let after = orbit(&app);
        assert!((after.distance / before.distance - 0.5).abs() < 1e-4, "{after:?}");
        assert!((after.target - before.target).norm() < 1e-6, "nothing moves aside");
        assert!((after.turn - before.turn).abs() < 1e-9);
    }

    #[test]
    fn two_fingers_together_move_and_neither_turn_nor_zoom() {
        let mut app = app();
        finger(&mut app, 1, TouchPhase::Started, 300.0, 300.0);
        finger(&mut app, 2, TouchPhase::Started, 400.0, 300.0);
        app.update();
        let before = orbit(&app);
        finger(&mut app, 1, TouchPhase::Moved, 340.0, 300.0);
        finger(&mut app, 2, TouchPhase::Moved, 440.0, 300.0);
        app.update();
        let after = orbit(&app);
        assert!((after.target - before.target).norm() > 1.0);
        assert!((after.distance - before.distance).abs() < 1e-6 && (after.turn - before.turn).abs() < 1e-9);
    }

    #[test]
    fn a_trackpad_zooms_by_pinch_and_scroll_and_moves_with_shift() {
        let mut app = app();
        app.update();
        let before = orbit(&app);
        app.world_mut().write_message(PinchGesture(0.3));
        app.update();
        let pinched = orbit(&app);
        assert!((pinched.distance / before.distance - f64::from(-0.3_f32).exp()).abs() < 1e-6);
        let scroll = |app: &mut App| {
            app.world_mut().write_message(bevy::input::mouse::MouseWheel {
                unit: MouseScrollUnit::Pixel,
                x: 0.0,
                y: 100.0,
                window: Entity::PLACEHOLDER,
                phase: TouchPhase::Moved,
            });
            app.update();
        };
        scroll(&mut app);
        let nearer = orbit(&app);
        assert!(nearer.distance < pinched.distance && nearer.target == pinched.target);
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(KeyCode::ShiftLeft);
        scroll(&mut app);
        let moved = orbit(&app);
        assert!((moved.distance - nearer.distance).abs() < 1e-9 && moved.target != nearer.target);
    }

    #[test]
    fn in_the_walk_a_finger_turns_the_head_and_the_eye_stays() {
        let mut app = app();
        app.world_mut().resource_mut::<Look>().stop = Some(1);
        finger(&mut app, 1, TouchPhase::Started, 300.0, 300.0);
        app.update();
        let before = orbit(&app);
        finger(&mut app, 1, TouchPhase::Moved, 340.0, 300.0);
        app.update();
        let after = orbit(&app);
        assert!((after.eye() - before.eye()).norm() < 1e-6);
        assert!((after.turn - before.turn).abs() > 0.1);
    }

    // One key each for the whole, the plan and the walls; each is what the view's own function gives.
    #[test]
    fn keys_ask_for_the_views() {
        let mut app = app();
        app.add_message::<Action>();
        for (key, view) in [
            (KeyCode::Home, View::Whole),
            (KeyCode::KeyP, View::Plan),
            (KeyCode::Digit1, View::Wall(0)),
            (KeyCode::Digit2, View::Wall(1)),
        ] {
            let mut input = ButtonInput::<KeyCode>::default();
            input.press(key);
            app.insert_resource(input);
            app.world_mut().run_system_once(by_keys).expect("it runs");
            let asked: Vec<Action> = app.world_mut().resource_mut::<Messages<Action>>().drain().collect();
            assert_eq!(asked, vec![Action::View(view)], "{key:?}");
        }
    }

    // What an inspector points at is to be seen: no finding of the demo is hidden more than it was before one turned.
    #[test]
    fn going_near_a_finding_looks_past_what_stands_before_it() {
        let loaded = demo();
        let look = Look::default();
        let (mut before, mut after) = (0.0, 0.0);
        for at in (0..loaded.seen.findings.len()).filter_map(|i| loaded.anchor(i)) {
            let plain = Orbit { target: at, distance: NEAR_IN, ..Orbit::whole(&loaded) };
            let mut near = Orbit::whole(&loaded);
            near.near(&loaded, &look, at);
            assert!(near.hidden(&loaded, &look) <= plain.hidden(&loaded, &look));
            before += plain.hidden(&loaded, &look);
            after += near.hidden(&loaded, &look);
        }
        assert!(after < before / 2.0, "{after} of {before} things in the way");
    }

    // As found, a wall's whole face is in a picture of it, whatever the picture's shape.
    #[test]
    fn the_whole_is_in_frame_in_every_shape_of_window() {
        let loaded = demo();
        for aspect in [0.6, 0.75, 1.0, 1.6, 2.2] {
            let orbit = Orbit { aspect, ..Orbit::whole(&loaded) }.fitted(&loaded);
            let half_up = f64::from(FOV / 2.0).tan();
            let (eye, ahead) = (orbit.eye(), (orbit.target - orbit.eye()).normalize());
            let right = ahead.cross(&Vector3::z()).normalize();
            let up = right.cross(&ahead);
            for corner in loaded.seen.rough_in.framed.members.iter().flat_map(|m| m.corners()) {
                let d = corner - eye;
                let deep = d.dot(&ahead);
                assert!(deep > 0.0 && (d.dot(&up) / deep).abs() <= half_up, "{aspect}");
                assert!((d.dot(&right) / deep).abs() <= half_up * aspect, "{aspect}");
            }
        }
    }
}
