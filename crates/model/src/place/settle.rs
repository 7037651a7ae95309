//! The second placement: the rigid assembly as it was solved, on its other bases.

use super::build::Builder;
use super::part::{Part, PartKind};
use crate::job::Placement;
use crate::solid::Body;
use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};

/// Length of existing barrel that is drawn and checked below the open end.
const BARREL_SHOWN_IN: f64 = 24.0;

impl Builder<'_> {
    /// Where every part sits in a placement. In the found one the corrections turn what lies beyond their joints.
    pub(super) fn settle(&mut self, placement: Placement) -> Vec<Isometry3<f64>> {
        let mut world: Vec<Isometry3<f64>> = Vec::with_capacity(self.parts.len());
        for i in 0..self.parts.len() {
            let id = self.parts[i].id;
            let Some(link) = self.links[i].clone() else {
                let (drawn, found) = self.roots[&id];
                world.push(if placement == Placement::Drawn { drawn } else { found });
                continue;
            };
            let mut pose = world[link.parent.0 as usize] * link.parent_from_part;
            if placement == Placement::Found
                && let Some(correction) = self.corrections.get(&id).cloned()
            {
                let port = &self.parts[i].ports()[link.entered];
                let joint = pose * port.stop;
                let axis = -(pose * port.axis);
                if let Some(to) = self.corrected_axis(&correction.what, joint, axis, &correction.path) {
                    pose = turn_about(joint, axis, to) * pose;
                    self.note_turn(link.joint, axis.angle(&to));
                }
            }
            world.push(pose);
        }
        world
    }
}

/// The motion that turns about a point so that `from` comes to lie along `to`.
pub(super) fn turn_about(point: Point3<f64>, from: Vector3<f64>, to: Vector3<f64>) -> Isometry3<f64> {
    let turn = UnitQuaternion::rotation_between(&from, &to).unwrap_or_default();
    Isometry3::from_parts(Translation3::from(point - turn * point), turn)
}

/// The bodies of a part in job axes.
pub(super) fn bodies(
    part: &Part,
    hub_outside_in: f64,
    fitting: impl FnOnce() -> Vec<Body>,
    world_from_part: &Isometry3<f64>,
) -> Vec<Body> {
    let z = |z: f64| Point3::new(0.0, 0.0, z);
    let own = match &part.kind {
        PartKind::Piece { outside, cut, .. } if cut.to_inches() > 0.0 => {
            vec![Body::Cylinder { a: z(0.0), b: z(cut.to_inches()), radius_in: 0.5 * outside.to_inches() }]
        }
        // A piece that came out shorter than nothing takes up no space; it is told as too short.
        PartKind::Piece { .. } => Vec::new(),
        PartKind::Fitting { .. } => fitting(),
        PartKind::Existing { outside, hub, depth, .. } => {
            let barrel =
                Body::Cylinder { a: z(-BARREL_SHOWN_IN), b: z(0.0), radius_in: 0.5 * outside.to_inches() };
            let rim = Body::Cylinder { a: z(0.0), b: z(depth.to_inches()), radius_in: 0.5 * hub_outside_in };
            if *hub { vec![barrel, rim] } else { vec![barrel] }
        }
    };
    own.iter().map(|b| b.transformed(world_from_part)).collect()
}
