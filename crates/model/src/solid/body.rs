//! A convex body: the round and the square shapes that all parts and members are made of.

use nalgebra::{Isometry3, Point3, Vector3};

/// A closed convex solid in job axes (z up), inches. Its surface belongs to it, so bodies that touch have distance 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Body {
    /// A solid cylinder with FLAT ends: a pipe, a hub, a piece of a bend. The bore inside a pipe counts as filled.
    Cylinder {
        /// Centre of one flat end.
        a: Point3<f64>,
        /// Centre of the other flat end, apart from `a`.
        b: Point3<f64>,
        /// Outside radius, inches, above zero.
        radius_in: f64,
    },
    /// A box in any position: a joist, a stud, a plate.
    Cuboid {
        /// Carries the box's own axes, centred on it, to job axes.
        pose: Isometry3<f64>,
        /// Half of the full extent along each of the box's own axes, inches, each above zero.
        half: Vector3<f64>,
    },
}

impl Body {
    /// The same body carried along by `motion`.
    pub fn transformed(&self, motion: &Isometry3<f64>) -> Self {
        match *self {
            Self::Cylinder { a, b, radius_in } => Self::Cylinder { a: motion * a, b: motion * b, radius_in },
            Self::Cuboid { pose, half } => Self::Cuboid { pose: motion * pose, half },
        }
    }

    /// Lowest and highest corner of the tightest box along the job axes.
    pub fn aabb(&self) -> (Point3<f64>, Point3<f64>) {
        match *self {
            Self::Cylinder { a, b, radius_in } => {
                // A disc square to `axis` reaches radius * sin(angle between axis and i) along axis i. The sine is
                // taken from the two other components: 1 - axis_i^2 loses half its digits on a nearly plumb pipe.
                let axis = (b - a).try_normalize(0.0).unwrap_or_else(Vector3::z);
                let reach = Vector3::new(axis.y.hypot(axis.z), axis.x.hypot(axis.z), axis.x.hypot(axis.y))
                    * radius_in;
                (a.inf(&b) - reach, a.sup(&b) + reach)
            }
            Self::Cuboid { pose, half } => {
                let center = Point3::from(pose.translation.vector);
                let reach = pose.rotation.to_rotation_matrix().matrix().abs() * half;
                (center - reach, center + reach)
            }
        }
    }

    /// Volume in cubic inches.
    pub fn volume(&self) -> f64 {
        match *self {
            Self::Cylinder { a, b, radius_in } => {
                std::f64::consts::PI * radius_in * radius_in * (b - a).norm()
            }
            Self::Cuboid { half, .. } => 8.0 * half.x * half.y * half.z,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use nalgebra::UnitQuaternion;

    fn turn() -> Isometry3<f64> {
        Isometry3::from_parts(
            Vector3::new(3.0, -7.0, 40.0).into(),
            UnitQuaternion::from_euler_angles(0.4, 1.1, -2.0),
        )
    }

    /// Surface points of the body: the box's corners, or the rims by 1/4 degree.
    fn surface(body: &Body) -> Vec<Point3<f64>> {
        match *body {
            Body::Cuboid { pose, half } => (0..8)
                .map(|i| {
                    let s = |bit: usize| if i >> bit & 1 == 0 { -1.0 } else { 1.0 };
                    pose * Point3::new(s(0) * half.x, s(1) * half.y, s(2) * half.z)
                })
                .collect(),
            Body::Cylinder { a, b, radius_in } => {
                let frame = UnitQuaternion::rotation_between(&Vector3::z(), &(b - a)).unwrap();
                (0..1440)
                    .flat_map(|i| {
                        let (s, c) = (f64::from(i) / 4.0).to_radians().sin_cos();
                        let out = frame * Vector3::new(c, s, 0.0) * radius_in;
                        [a + out, b + out]
                    })
                    .collect()
            }
        }
    }

    // Elementary geometry: the extent of a convex body is that of its extreme points.
    #[test]
    fn aabb_is_tight_around_the_extreme_points() {
        let upright = Body::Cylinder {
            a: Point3::new(1.0, 2.0, 3.0),
            b: Point3::new(4.0, -2.0, 30.0),
            radius_in: 1.75,
        };
        let plumb = Body::Cylinder { a: Point3::origin(), b: Point3::new(0.0, 0.0, 9.0), radius_in: 1.0 };
        let joist = Body::Cuboid { pose: turn(), half: Vector3::new(0.75, 4.625, 72.0) };
        for body in [upright, plumb, joist, upright.transformed(&turn())] {
            let (low, high) = body.aabb();
            let points = surface(&body);
            for i in 0..3 {
                let least = points.iter().map(|p| p[i]).fold(f64::INFINITY, f64::min);
                let most = points.iter().map(|p| p[i]).fold(f64::NEG_INFINITY, f64::max);
                assert!(
                    low[i] <= least + 1e-9 && least < low[i] + 1e-4,
                    "{body:?} axis {i}: {least} {}",
                    low[i]
                );
                assert!(
                    high[i] >= most - 1e-9 && most > high[i] - 1e-4,
                    "{body:?} axis {i}: {most} {}",
                    high[i]
                );
            }
        }
    }

    #[test]
    fn moving_a_body_keeps_its_volume() {
        // 2 x 10 joist stock, 1.5 x 9.25 in (American Softwood Lumber Standard PS 20), 12 ft long: 1998 cu in.
        let joist = Body::Cuboid { pose: turn(), half: Vector3::new(0.75, 4.625, 72.0) };
        assert_relative_eq!(joist.volume(), 1998.0);
        assert_relative_eq!(joist.transformed(&turn()).volume(), 1998.0);
        let pipe = Body::Cylinder { a: Point3::origin(), b: Point3::new(0.0, 3.0, 4.0), radius_in: 2.0 };
        assert_relative_eq!(pipe.transformed(&turn()).volume(), 20.0 * std::f64::consts::PI, epsilon = 1e-9);
    }
}
