//! Bases: the existing work a stack stands on, as drawn (plumb) and as found.

use super::build::Builder;
use super::orient::frame_along;
use super::part::{Part, PartId, PartKind, RunId};
use super::trouble::{JobFault, Trouble};
use crate::catalog::material::Material;
use crate::job::Placement;
use crate::job::pipes::{Base, Stack, System};
use crate::label::Label;
use crate::survey::{Lean, LineFit};
use crate::units::{Length, NominalSize};
use nalgebra::{Isometry3, Point3, Vector3};

/// A base in both placements.
pub(super) struct Based {
    pub part: PartId,
    pub lean: Option<Lean>,
    pub fits: Vec<LineFit>,
}

impl Builder<'_> {
    /// Puts the existing part under a stack; none (with the fault noted) where the job leaves it unknown.
    pub(super) fn base(&mut self, stack: &Stack, index: usize, run: RunId) -> Option<Based> {
        let path = format!("stacks[{index}].base");
        let (spot, height, size, material) = match &stack.base {
            Base::IronHub { size, at, rim, .. } => (at, rim, *size, Material::Iron),
            Base::IronBranch { size, at, centre, .. } => (at, centre, *size, Material::Iron),
            Base::CutPipe { size, material, at, top, .. } => (at, top, *size, *material),
            Base::Stub { size, material, at, centre, .. } => (at, centre, *size, *material),
        };
        let at = self.plan_point(&spot.0, &format!("{path}.at"));
        let z = self.height_z(height, &path);
        let outside = self.outside(material, size, &path);
        let (at, z, outside) = (at?, z?, outside?);
        let open = Point3::new(at.x, at.y, z);
        let (lean, fits) = self.surveyed_lean(stack, index, at);
        let found_up = lean.map_or_else(Vector3::z, |l| l.axis().into_inner());
        let (hub, depth) = match &stack.base {
            Base::IronHub { depth, .. } | Base::IronBranch { depth, .. } => {
                (true, self.hub_depth(*depth, size, &path)?)
            }
            _ => (false, Length::ZERO),
        };
        let (drawn_axis, found_axis) = match &stack.base {
            Base::Stub { looks, reads, .. } | Base::IronBranch { looks, reads, .. } => {
                let water = matches!(stack.system, Some(System::Cold | System::Hot));
                if reads.is_none() && !water {
                    self.troubles.push(Trouble::Unread {
                        stack: stack.name.clone(),
                        measure: "lay a level on the old stub and read its fall".into(),
                    });
                }
                let rise = reads.map_or(0.0, |g| g.to_per_foot() / 12.0);
                let a = looks.angle().to_radians();
                let axis = Vector3::new(a.sin(), a.cos(), rise).normalize();
                (axis, axis)
            }
            _ => (Vector3::z(), found_up),
        };
        let stop = |axis: Vector3<f64>| frame_along(open - axis * depth.to_inches(), axis);
        let part = self.add_root(
            Part {
                id: PartId(0),
                label: Label::new(format!("{} base", stack.name)),
                run,
                material,
                kind: PartKind::Existing { size, outside, hub, depth },
            },
            stop(drawn_axis),
            stop(found_axis),
        );
        Some(Based { part, lean, fits })
    }

    fn hub_depth(&mut self, stated: Option<Length>, size: NominalSize, path: &str) -> Option<Length> {
        let depth = stated.or_else(|| self.catalog.socket(Material::Iron, size).map(|s| s.depth));
        if depth.is_none() {
            self.faults.push(JobFault {
                path: path.into(),
                message: format!(
                    "no usual depth is known for a {size} in iron hub; give `depth`, rim to stop"
                ),
                help: None,
            });
        }
        depth
    }

    fn add_root(&mut self, mut part: Part, drawn: Isometry3<f64>, found: Isometry3<f64>) -> PartId {
        let id = PartId(self.parts.len() as u32);
        part.id = id;
        self.world.push(if self.solve_on == Placement::Drawn { drawn } else { found });
        self.roots.insert(id, (drawn, found));
        self.links.push(None);
        self.parts.push(part);
        id
    }
}
