//! The one place where job axes (inches, z up, f64) become the scene's (metres, y up, f32), and back.

use bevy::math::{Quat, Vec3};
use bevy::transform::components::Transform;
use nalgebra::{Isometry3, Point3, Vector3};

/// Metres in an inch, by definition.
pub(crate) const METRES: f64 = 0.0254;

/// A point of the job in the scene.
pub(crate) fn scene_from_job(p: Point3<f64>) -> Vec3 {
    direction(p.coords) * METRES as f32
}

/// A direction of the job in the scene, of the same length.
pub(crate) fn direction(v: Vector3<f64>) -> Vec3 {
    Vec3::new(v.x as f32, v.z as f32, -v.y as f32)
}

/// A point of the scene in the job.
pub(crate) fn job_from_scene(p: Vec3) -> Point3<f64> {
    Point3::from(job_direction(p) / METRES)
}

/// A direction of the scene in the job, of the same length.
pub(crate) fn job_direction(v: Vec3) -> Vector3<f64> {
    Vector3::new(f64::from(v.x), -f64::from(v.z), f64::from(v.y))
}

/// A pose; local axes of the part turn like everything else, so a mesh must be turned as [`direction`] does.
pub(crate) fn pose(p: &Isometry3<f64>) -> Transform {
    let q = p.rotation.quaternion();
    let turn = Quat::from_xyzw(q.i as f32, q.k as f32, -q.j as f32, q.w as f32);
    Transform {
        translation: scene_from_job(p.translation.vector.into()),
        rotation: turn,
        ..Transform::IDENTITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::UnitQuaternion;

    // A pose must move a point of its part to where the job has it: two ways round the same square.
    #[test]
    fn posing_in_the_scene_is_posing_in_the_job() {
        let job = Isometry3::from_parts(
            Vector3::new(10.0, -20.0, 30.0).into(),
            UnitQuaternion::from_euler_angles(0.4, -1.1, 2.0),
        );
        let local = Point3::new(3.0, 5.0, -7.0);
        let one = scene_from_job(job * local);
        let two = pose(&job).transform_point(scene_from_job(local));
        assert!((one - two).length() < 1e-5, "{one} {two}");
        assert!((job_from_scene(one) - (job * local)).norm() < 1e-3);
    }
}
