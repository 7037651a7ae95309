//! Verdicts on any two convex bodies, by parry in f64.
//!
//! Only two of parry's answers are used: whether bodies intersect, and whether they are *not* further apart than a
//! limit. Both come from a separating plane. Its distances, depths and points are wrong by inches on some plain
//! framing (a pipe hung exactly against a joist, a pipe through a stud's end), so none is read here.

use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use parry3d::math::{Pose, Rotation, Vector};
use parry3d::query::{self, ClosestPoints};
use parry3d::shape::{Cuboid, Cylinder, Shape};
use truefall_model::solid::Body;

/// Whether two bodies come within `clearance_in` of each other. Touching is a coin toss here: rounding decides.
/// Nothing is within a negative clearance.
///
/// `None` if the bodies are not sound (no length, not finite) and so can't be compared.
pub fn verdict(first: &Body, second: &Body, clearance_in: f64) -> Option<bool> {
    if clearance_in < 0.0 {
        return Some(false);
    }
    let ((pose1, shape1), (pose2, shape2)) = (shape(first)?, shape(second)?);
    // Far from the origin rounding would decide more than it must: place both relative to the first.
    let origin = pose1.translation.vector;
    let place = |pose: &Isometry3<f64>| {
        let (t, q) = (pose.translation.vector - origin, pose.rotation.coords);
        Pose::from_parts(Vector::new(t.x, t.y, t.z), Rotation::from_xyzw(q.x, q.y, q.z, q.w))
    };
    let (place1, place2) = (place(&pose1), place(&pose2));
    if query::intersection_test(&place1, shape1.as_ref(), &place2, shape2.as_ref()).ok()?.intersecting {
        return Some(true);
    }
    if clearance_in == 0.0 {
        return Some(false);
    }
    let near =
        query::closest_points(&place1, shape1.as_ref(), &place2, shape2.as_ref(), clearance_in).ok()?;
    Some(near != ClosestPoints::Disjoint)
}

fn shape(body: &Body) -> Option<(Isometry3<f64>, Box<dyn Shape>)> {
    match *body {
        Body::Cuboid { pose, half } => {
            let sound = half.iter().all(|h| h.is_finite() && *h > 0.0);
            sound
                .then(|| (pose, Box::new(Cuboid::new(Vector::new(half.x, half.y, half.z))) as Box<dyn Shape>))
        }
        Body::Cylinder { a, b, radius_in } => {
            let axis = b - a;
            let length = axis.norm();
            let sound = length.is_finite() && length > 0.0 && radius_in.is_finite() && radius_in > 0.0;
            let rotation = along_y(&axis);
            let center: Point3<f64> = nalgebra::center(&a, &b);
            let pose = Isometry3::from_parts(center.coords.into(), rotation);
            sound.then(|| (pose, Box::new(Cylinder::new(length / 2.0, radius_in)) as Box<dyn Shape>))
        }
    }
}

/// A turn that carries y, along which parry's cylinder stands, to `axis`.
fn along_y(axis: &Vector3<f64>) -> UnitQuaternion<f64> {
    UnitQuaternion::rotation_between(&Vector3::y(), axis)
        .unwrap_or_else(|| UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI))
}
