//! The one place where job axes (inches, z up, f64) become the scene's (metres, y up, f32), and back.

use bevy::math::Vec3;
use nalgebra::{Point3, Vector3};

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

#[cfg(test)]
mod tests {
    use super::*;

    // Up is up, and what is left of north stays left of it: no mirror image. One metre is 1/0.0254 in, by definition.
    #[test]
    fn the_scene_is_the_job_turned_and_not_mirrored() {
        let (x, y, z) = (direction(Vector3::x()), direction(Vector3::y()), direction(Vector3::z()));
        assert_eq!(z, Vec3::Y);
        assert_eq!(x.cross(y), z);
        assert_eq!(scene_from_job(Point3::new(1.0 / 0.0254, 0.0, 0.0)), Vec3::X);
        let at = Point3::new(10.0, -20.0, 30.0);
        assert!((job_from_scene(scene_from_job(at)) - at).norm() < 1e-4);
    }
}
