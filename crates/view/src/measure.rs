//! Two picks and what lies between them, level and plumb; picks snap to centre lines, corners and edges.

use crate::hold::trade;
use crate::ray::Ray;
use bevy::prelude::Resource;
use nalgebra::Point3;
use truefall_model::solid::Body;

/// How near to a centre line or a corner a pick snaps to it, inches.
const SNAP_IN: f64 = 2.5;

/// The picks so far, job axes, inches.
#[derive(Resource, Debug, Clone, Default, PartialEq)]
pub(crate) struct Tape {
    /// None, one or two.
    pub(crate) picks: Vec<Point3<f64>>,
}

impl Tape {
    /// One more; a third starts anew.
    pub(crate) fn pick(&mut self, at: Point3<f64>) {
        if self.picks.len() == 2 {
            self.picks.clear();
        }
        self.picks.push(at);
    }

    /// The length with its level and plumb share, once there are two.
    pub(crate) fn text(&self) -> Option<String> {
        let [a, b] = self.picks.as_slice() else { return None };
        let d = b - a;
        Some(format!("{}   level {}   plumb {}", trade(d.norm()), trade(d.xy().norm()), trade(d.z.abs())))
    }
}

/// Where a pick on a body at `at` lands: on a cylinder's centre line, on a box's nearest corner or edge where near, else
/// on the face itself.
pub(crate) fn snap(body: &Body, ray: &Ray, distance: f64) -> Point3<f64> {
    let at = ray.at(distance);
    match *body {
        Body::Cylinder { a, b, .. } => {
            let axis = b - a;
            let t = ((at - a).dot(&axis) / axis.norm_squared()).clamp(0.0, 1.0);
            let on = a + axis * t;
            if (on - a).norm() < SNAP_IN {
                a
            } else if (on - b).norm() < SNAP_IN {
                b
            } else {
                on
            }
        }
        Body::Cuboid { pose, half } => {
            let mut p = pose.inverse_transform_point(&at);
            for i in 0..3 {
                let edge = half[i].copysign(p[i]);
                if (edge - p[i]).abs() < SNAP_IN.min(half[i] / 2.0) {
                    p[i] = edge;
                }
            }
            pose * p
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;

    // The 3-4-5 triangle.
    #[test]
    fn level_and_plumb_are_the_legs_of_the_triangle() {
        let mut tape = Tape::default();
        tape.pick(Point3::origin());
        tape.pick(Point3::new(3.0, 0.0, 4.0));
        assert_eq!(tape.text().as_deref(), Some("5\"   level 3\"   plumb 4\""));
        tape.pick(Point3::origin());
        assert_eq!(tape.text(), None);
    }

    #[test]
    fn a_pick_on_a_pipe_is_its_centre_line() {
        let pipe = Body::Cylinder { a: Point3::origin(), b: Point3::new(0.0, 0.0, 40.0), radius_in: 1.75 };
        let ray = Ray { from: Point3::new(-10.0, 0.5, 20.0), way: Vector3::x() };
        let hit = ray.hit(&pipe).expect("straight at it");
        assert!((snap(&pipe, &ray, hit) - Point3::new(0.0, 0.0, 20.0)).norm() < 1e-9);
    }
}
