//! Turning a part into its joint: the one freedom a round joint leaves is the clock.

use crate::catalog::pattern::Pattern;
use crate::job::clock::Clock;
use crate::units::Angle;
use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Translation3, UnitQuaternion, Vector2, Vector3};

/// Sine of the steepness beyond which a joint is read like a riser's. Well past 45 degrees, so that an offset by 1/8
/// bends off a graded line is still read with 12 up.
pub const VERTICAL_SINE: f64 = 0.866;

/// A joint steeper than 60 degrees is read on the plan.
fn is_steep(axis: Vector3<f64>) -> bool {
    axis.z.abs() > VERTICAL_SINE
}

/// The two unit vectors of a level joint's watch face: towards 12 and towards 3. 12 is up and the hours go clockwise
/// looking downstream, against `axis`, which looks away from the base.
fn face(axis: Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let twelve = (Vector3::z() - axis * axis.z).normalize();
    (twelve, (-axis).cross(&twelve))
}

/// The clock of a direction square to a joint's axis.
///
/// On a vertical it is where the direction heads on the plan, 12 being +y and the hours clockwise looking down; on a riser
/// out of plumb too, so that the fitting that brings an offset upright has the clock opposite to the way it went.
pub fn clock_of(axis: Vector3<f64>, direction: Vector3<f64>) -> Clock {
    let angle = if is_steep(axis) {
        direction.x.atan2(direction.y)
    } else {
        let (twelve, three) = face(axis);
        direction.dot(&three).atan2(direction.dot(&twelve))
    };
    Clock::at(Angle::radians(angle))
}

/// Unit vector square to a joint's axis at an angle clockwise from 12; [`clock_of`] of it is that angle.
pub fn hand(axis: Vector3<f64>, clock_rad: f64) -> Vector3<f64> {
    let (sine, cosine) = clock_rad.sin_cos();
    if is_steep(axis) {
        // Of the directions square to the axis the one that heads there on the plan.
        return Vector3::new(sine, cosine, -(sine * axis.x + cosine * axis.y) / axis.z).normalize();
    }
    let (twelve, three) = face(axis);
    twelve * cosine + three * sine
}

/// The direction in the pattern's frame that the clock speaks of, square to the port it is entered by.
pub fn clock_axis(pattern: &Pattern, enter: usize, leave: Option<usize>) -> Vector3<f64> {
    let axis = pattern.ports[enter].axis;
    let square = |v: Vector3<f64>| v - axis * v.dot(&axis);
    let mut candidates = Vec::new();
    if enter == pattern.enter {
        candidates.push(pattern.clock_axis);
    }
    candidates.extend(leave.map(|l| pattern.ports[l].axis));
    candidates.extend(pattern.ports.iter().map(|p| p.axis));
    candidates.extend([Vector3::x(), Vector3::y()]);
    candidates.into_iter().map(square).find(|v| v.norm() > 1e-3).unwrap_or_else(Vector3::x).normalize()
}

/// The pose of a pattern whose entered port meets a joint: its stop at `point`, its axis against `axis`, its clock
/// axis at `clock_rad`.
pub fn pose(
    pattern: &Pattern,
    enter: usize,
    clock_axis: Vector3<f64>,
    point: Point3<f64>,
    axis: Vector3<f64>,
    clock_rad: f64,
) -> Isometry3<f64> {
    let port = &pattern.ports[enter];
    let hand = hand(axis, clock_rad);
    let ours = Matrix3::from_columns(&[clock_axis, port.axis.cross(&clock_axis), port.axis]);
    let theirs = Matrix3::from_columns(&[hand, (-axis).cross(&hand), -axis]);
    let turn =
        UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(theirs * ours.transpose()));
    Isometry3::from_parts(Translation3::from(point - turn * port.stop), turn)
}

/// A frame whose +z is `axis`, turned as little as may be from upright.
pub fn frame_along(point: Point3<f64>, axis: Vector3<f64>) -> Isometry3<f64> {
    let turn = UnitQuaternion::rotation_between(&Vector3::z(), &axis)
        .unwrap_or_else(|| UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI));
    Isometry3::from_parts(Translation3::from(point.coords), turn)
}

/// Signed angle on the plan from `a` to `b`, counterclockwise.
pub fn plan_turn(a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    a.perp(&b).atan2(a.dot(&b))
}
