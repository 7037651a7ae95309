//! A bend as a chain of straight cylinders that encloses it.

use super::{Body, CHORD_ERROR_IN};
use nalgebra::{Point3, UnitQuaternion, UnitVector3};

/// The centre line of a bend: an arc that starts along `direction` and turns right-handed about `turn_axis`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CentreArc {
    /// Where the arc starts, job axes, inches.
    pub start: Point3<f64>,
    /// Unit tangent at the start, in the sense of travel.
    pub direction: UnitVector3<f64>,
    /// Unit axis of the turn, square to `direction`; the arc's centre lies towards `turn_axis` x `direction`.
    pub turn_axis: UnitVector3<f64>,
    /// Radius of the centre line, inches, above zero.
    pub radius_in: f64,
    /// How far the arc turns, radians, above zero.
    pub angle_rad: f64,
}

/// Cylinders that together hold every point of the bend (a torus segment of tube radius `pipe_radius_in`).
///
/// No point of them lies more than [`CHORD_ERROR_IN`] outside the *whole* torus tube. Lengthwise they do reach past
/// the two end planes of the bend: a flat end square to the chord leaves a wedge on the inner side, at most
/// `2 * pipe_radius_in * sin(half the turn of one piece)` long plus the chord error. The wedge lies within the chord
/// error of the tube carried on, which is where the next straight pipe or hub is. Use no end of a bend body as a datum.
pub fn bend_bodies(arc: &CentreArc, pipe_radius_in: f64) -> Vec<Body> {
    let (big, tube) = (arc.radius_in, pipe_radius_in);
    let mut pieces = 1_u32.max((arc.angle_rad / std::f64::consts::FRAC_PI_2).ceil() as u32);
    while overshoot(big, tube, arc.angle_rad / f64::from(pieces)) > CHORD_ERROR_IN {
        pieces += 1;
    }
    let step = arc.angle_rad / f64::from(pieces);
    let sagitta = big * (1.0 - (step / 2.0).cos());
    let half_length = (big + tube) * (step / 2.0).sin();
    let inward = arc.turn_axis.cross(&arc.direction);
    let center = arc.start + inward * big;
    (0..pieces)
        .map(|i| {
            let turn = UnitQuaternion::from_axis_angle(&arc.turn_axis, step * (f64::from(i) + 0.5));
            let middle = center - turn * inward * (big - sagitta / 2.0);
            let along = turn * arc.direction.into_inner() * half_length;
            Body::Cylinder { a: middle - along, b: middle + along, radius_in: tube + sagitta / 2.0 }
        })
        .collect()
}

/// Bound on how far one piece turning by `step` leaves the tube.
///
/// Its axis runs half a sagitta inside the centre line and its radius is half a sagitta more than the tube's: by the
/// triangle inequality that holds the tube. A point of it is then within `radius` of its axis, and the axis within
/// the larger of half a sagitta and its end's distance of the centre line.
fn overshoot(big: f64, tube: f64, step: f64) -> f64 {
    let sagitta = big * (1.0 - (step / 2.0).cos());
    let half_length = (big + tube) * (step / 2.0).sin();
    let end = (big - sagitta / 2.0).hypot(half_length) - big;
    sagitta / 2.0 + end.abs().max(sagitta / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

    /// Bends from sharp to long, an eighth to a half turn, in skew axes.
    fn cases() -> Vec<(CentreArc, f64)> {
        let skew = UnitQuaternion::from_euler_angles(0.3, -1.2, 2.0);
        let mut all = Vec::new();
        for (radius_in, tube) in
            [(1.5, 1.1875), (3.0, 1.1875), (2.25, 1.75), (6.0, 2.25), (24.0, 2.25), (0.5, 0.84)]
        {
            for angle_rad in [PI / 8.0, FRAC_PI_4, FRAC_PI_2, PI] {
                all.push((
                    CentreArc {
                        start: Point3::new(100.0, -20.0, 7.0),
                        direction: skew * Vector3::x_axis(),
                        turn_axis: skew * Vector3::z_axis(),
                        radius_in,
                        angle_rad,
                    },
                    tube,
                ));
            }
        }
        all
    }

    /// A point in the arc's own frame: centre of the turn at the origin, start at (0, -R), travel along +x.
    fn job_from_arc(arc: &CentreArc, p: &Vector3<f64>) -> Point3<f64> {
        let inward = arc.turn_axis.cross(&arc.direction);
        arc.start + inward * arc.radius_in + *arc.direction * p.x + inward * p.y + *arc.turn_axis * p.z
    }

    fn holds(body: &Body, p: &Point3<f64>) -> bool {
        let Body::Cylinder { a, b, radius_in } = *body else { return false };
        let axis = (b - a).normalize();
        let along = (p - a).dot(&axis);
        let off = ((p - a) - axis * along).norm();
        along > -1e-9 && along < (b - a).norm() + 1e-9 && off < radius_in + 1e-9
    }

    #[test]
    fn every_point_of_the_true_tube_is_in_some_piece() {
        for (arc, tube) in cases() {
            let bodies = bend_bodies(&arc, tube);
            for i in 0..=160 {
                let (s, c) = (arc.angle_rad * f64::from(i) / 160.0).sin_cos();
                for j in 0..48 {
                    let (sj, cj) = (TAU * f64::from(j) / 48.0).sin_cos();
                    for share in [0.5, 1.0] {
                        let out = arc.radius_in + share * tube * cj;
                        let p = job_from_arc(&arc, &Vector3::new(out * s, -out * c, share * tube * sj));
                        assert!(bodies.iter().any(|body| holds(body, &p)), "{arc:?} tube {tube}: lost {p}");
                    }
                }
            }
        }
    }

    #[test]
    fn no_point_of_a_piece_is_further_out_than_a_thirty_second() {
        for (arc, tube) in cases() {
            let mut worst = f64::NEG_INFINITY;
            for body in bend_bodies(&arc, tube) {
                let Body::Cylinder { a, b, radius_in } = body else { panic!("a bend is made of cylinders") };
                let axis = (b - a).normalize();
                let side = axis.cross(&arc.turn_axis);
                for i in 0..=40 {
                    let q = a + (b - a) * (f64::from(i) / 40.0);
                    for j in 0..72 {
                        let (s, c) = (TAU * f64::from(j) / 72.0).sin_cos();
                        let p = q + (side * c + *arc.turn_axis * s) * radius_in;
                        // Distance to the full centre circle, less the tube.
                        let inward = arc.turn_axis.cross(&arc.direction);
                        let from_center = p - (arc.start + inward * arc.radius_in);
                        let height = from_center.dot(&arc.turn_axis);
                        let flat = (from_center - *arc.turn_axis * height).norm();
                        worst = worst.max((flat - arc.radius_in).hypot(height) - tube);
                    }
                }
            }
            assert!(worst <= 1.0 / 32.0 + 1e-9, "{arc:?} tube {tube}: {worst}");
            // The pieces must be larger than the tube somewhere, else they could not hold it.
            assert!(worst > 0.0);
        }
    }

    #[test]
    fn the_chain_starts_and_ends_where_the_bend_does() {
        // A quarter bend to the left in plan, 3 in centre line: from the origin along +x it ends at (3, 3).
        let arc = CentreArc {
            start: Point3::origin(),
            direction: Vector3::x_axis(),
            turn_axis: Vector3::z_axis(),
            radius_in: 3.0,
            angle_rad: FRAC_PI_2,
        };
        let bodies = bend_bodies(&arc, 1.0);
        assert!(holds(bodies.first().unwrap(), &Point3::origin()));
        assert!(holds(bodies.last().unwrap(), &Point3::new(3.0, 3.0, 0.0)));
        assert!(!bodies.iter().any(|body| holds(body, &Point3::new(0.0, 3.0, 0.0))));
    }
}
