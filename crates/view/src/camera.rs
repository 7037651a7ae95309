//! Where one looks from: round a point (orbit, pan, zoom) or from where one stands.

use crate::action::Action;
use crate::coords::{self, METRES};
use crate::loaded::Loaded;
use crate::look::Look;
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
}

impl Orbit {
    /// The whole house.
    pub(crate) fn whole(loaded: &Loaded) -> Self {
        let mut orbit = Self { target: Point3::origin(), distance: 400.0, turn: 0.0, rise: 0.5 };
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

    /// Goes near a point without turning.
    pub(crate) fn near(&mut self, at: Point3<f64>) {
        self.target = at;
        self.distance = self.distance.min(84.0);
    }

    /// One of the fixed views.
    pub(crate) fn view(&mut self, loaded: &Loaded, view: &View) {
        match view {
            View::Whole => {
                if let Some(stop) = loaded.stops.first() {
                    self.stand(Point3::from(stop.eye), Point3::from(stop.look));
                }
            }
            View::Plan => {
                self.view(loaded, &View::Whole);
                self.turn = 0.0;
                self.rise = std::f64::consts::FRAC_PI_2 - 1e-3;
            }
            View::Wall(i) => {
                if let Some(w) = loaded.seen.rough_in.framed.walls.get(*i) {
                    let look = w.at_height(w.length / 2.0, 0.0, f64::midpoint(w.z0, w.z1));
                    let n = Vector3::new(w.into_room.x, w.into_room.y, 0.0);
                    self.stand(look + n * (w.length.max(w.z1 - w.z0) * 1.25), look);
                }
            }
        }
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
        Projection::Perspective(PerspectiveProjection { near: 0.05, fov: 0.85, ..default() }),
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
    zoom += match scroll.unit {
        MouseScrollUnit::Line => scroll.delta.y * 0.12,
        MouseScrollUnit::Pixel => scroll.delta.y * 0.002,
    };
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
}
