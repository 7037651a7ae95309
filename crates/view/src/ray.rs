//! A ray against the bodies of the model, in job axes: what is picked is what is checked.

use nalgebra::{Point3, Vector3};
use truefall_model::solid::Body;

/// A half line; the direction has length 1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ray {
    /// Where it starts, inches.
    pub(crate) from: Point3<f64>,
    /// Which way it goes.
    pub(crate) way: Vector3<f64>,
}

impl Ray {
    /// How far along it first meets a body from outside; none if it misses.
    pub(crate) fn hit(&self, body: &Body) -> Option<f64> {
        match *body {
            Body::Cuboid { pose, half } => {
                let (p, d) =
                    (pose.inverse_transform_point(&self.from), pose.inverse_transform_vector(&self.way));
                let (mut enter, mut leave) = (f64::NEG_INFINITY, f64::INFINITY);
                for i in 0..3 {
                    let (a, b) = slab(p[i], d[i], -half[i], half[i])?;
                    enter = enter.max(a);
                    leave = leave.min(b);
                }
                (enter <= leave && enter >= 0.0).then_some(enter)
            }
            Body::Cylinder { a, b, radius_in } => {
                let length = (b - a).norm();
                let axis = (b - a) / length;
                let off = self.from - a;
                let (along, speed) = (off.dot(&axis), self.way.dot(&axis));
                let (m, n) = (off - axis * along, self.way - axis * speed);
                let (qa, qb, qc) = (n.dot(&n), m.dot(&n), m.dot(&m) - radius_in * radius_in);
                let (near, far) = if qa < 1e-12 {
                    if qc > 0.0 {
                        return None;
                    }
                    (f64::NEG_INFINITY, f64::INFINITY)
                } else {
                    let root = (qb * qb - qa * qc).max(-1.0);
                    if root < 0.0 {
                        return None;
                    }
                    ((-qb - root.sqrt()) / qa, (-qb + root.sqrt()) / qa)
                };
                let (low, high) = slab(along, speed, 0.0, length)?;
                let (enter, leave) = (near.max(low), far.min(high));
                (enter <= leave && enter >= 0.0).then_some(enter)
            }
        }
    }

    /// The point so far along.
    pub(crate) fn at(&self, distance: f64) -> Point3<f64> {
        self.from + self.way * distance
    }
}

fn slab(at: f64, speed: f64, low: f64, high: f64) -> Option<(f64, f64)> {
    if speed.abs() < 1e-12 {
        return (low..=high).contains(&at).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (a, b) = ((low - at) / speed, (high - at) / speed);
    Some((a.min(b), a.max(b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Isometry3;

    fn ray(from: [f64; 3], way: [f64; 3]) -> Ray {
        Ray { from: Point3::from(from), way: Vector3::from(way).normalize() }
    }

    // Elementary geometry: distance to a face, to a round side, to a flat end.
    #[test]
    fn rays_meet_bodies_where_a_ruler_says() {
        let pipe = Body::Cylinder { a: Point3::origin(), b: Point3::new(0.0, 0.0, 10.0), radius_in: 2.0 };
        assert_eq!(ray([-7.0, 0.0, 5.0], [1.0, 0.0, 0.0]).hit(&pipe), Some(5.0));
        assert_eq!(ray([1.0, 0.0, 30.0], [0.0, 0.0, -1.0]).hit(&pipe), Some(20.0));
        assert_eq!(ray([-7.0, 2.1, 5.0], [1.0, 0.0, 0.0]).hit(&pipe), None);
        assert_eq!(ray([-7.0, 0.0, 5.0], [-1.0, 0.0, 0.0]).hit(&pipe), None);
        let stud = Body::Cuboid {
            pose: Isometry3::translation(0.0, 10.0, 0.0),
            half: Vector3::new(0.75, 1.75, 48.0),
        };
        let hit = ray([0.0, 0.0, 0.0], [0.0, 1.0, 0.0]).hit(&stud).expect("straight ahead");
        assert!((hit - 8.25).abs() < 1e-12);
    }
}
