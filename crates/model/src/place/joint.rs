//! Joints: the open end, a leg begun on it, its piece, and the part it leads to.

use super::build::{Builder, Link, PlacedCorrection};
use super::lean::named;
use super::part::{Joint, JointId, Leg, LegId, Part, PartId, PartKind, RunId};
use super::run::Start;
use super::settle::turn_about;
use super::target::{Aimed, STEEPEST_GRADED_RAD, aim, aim_plumb};
use super::trouble::{JobFault, Trouble};
use crate::catalog::family::Family;
use crate::catalog::joint::JointKind;
use crate::catalog::material::Material;
use crate::catalog::pattern::PortEnd;
use crate::job::Placement;
use crate::job::pipes::Fit;
use crate::label::Label;
use crate::tolerance::SLACK;
use crate::units::{Angle, Grade, Length, NominalSize};
use nalgebra::{Isometry3, Point3, Vector2, Vector3};

/// The open end that the next part goes on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tip {
    pub part: PartId,
    pub port: usize,
    pub point: Point3<f64>,
    pub axis: Vector3<f64>,
    pub size: NominalSize,
    pub end: PortEnd,
    pub socket: Length,
}

/// A leg begun: its direction is set, its length not yet.
#[derive(Debug, Clone)]
pub(super) struct Begun {
    pub tip: Tip,
    pub kind: JointKind,
    pub seat: Angle,
    pub aimed: Aimed,
    /// Turns what lies beyond the joint where a correction is made on the placement that is solved.
    pub correction: Isometry3<f64>,
    pub target: Option<Grade>,
}

impl Builder<'_> {
    pub(super) fn tip(&self, part: PartId, port: usize) -> Tip {
        let ports = self.parts[part.0 as usize].ports();
        let own = &ports[port];
        let world = &self.world[part.0 as usize];
        Tip {
            part,
            port,
            point: world * own.stop,
            axis: world * own.axis,
            size: own.size,
            end: own.end,
            socket: own.socket,
        }
    }

    /// Whether two ends go together: size for size, one of them a hub.
    pub(super) fn ends_meet(
        &mut self,
        tip: &Tip,
        end: PortEnd,
        size: NominalSize,
        name: &Label,
        path: &str,
    ) -> Option<()> {
        let before = self.parts[tip.part.0 as usize].label.clone();
        let message = if tip.size != size {
            format!(
                "{name} is {size} in where it joins {before}, which is {} in there; a reducer or bushing is needed",
                tip.size
            )
        } else if tip.end == PortEnd::Spigot && end == PortEnd::Spigot {
            format!("{name} and {before} meet spigot to spigot; a coupling is needed")
        } else if !matches!(tip.end, PortEnd::Hub | PortEnd::Spigot)
            || !matches!(end, PortEnd::Hub | PortEnd::Spigot)
        {
            format!("{name} can't be joined to {before} there: that port takes no pipe")
        } else {
            return Some(());
        };
        self.faults.push(JobFault { path: path.into(), message, help: None });
        None
    }

    /// Begins the leg that leaves a tip.
    pub(super) fn begin(
        &mut self,
        tip: Tip,
        grade: Option<Grade>,
        heading: Option<Vector2<f64>>,
        start: &Start<'_>,
        fit: &Fit,
    ) -> Begun {
        let (kind, seat) = self.joint_kind(&tip, start);
        let wanted = start.corrections.iter().find(|c| *named(&c.what) == fit.name).cloned();
        let mut correction = Isometry3::identity();
        let mut axis = tip.axis;
        if let Some(wanted) = &wanted
            && self.solve_on == Placement::Found
            && let Some(to) = self.corrected_axis(&wanted.what, tip.point, axis, &wanted.path)
        {
            correction = turn_about(tip.point, axis, to);
            axis = to;
        }
        let leveled = axis.z.clamp(-1.0, 1.0).asin().abs() <= STEEPEST_GRADED_RAD;
        let target = grade.filter(|_| leveled);
        let on_branch =
            matches!(self.runs[start.run.0 as usize].kind, super::rough_in::RunKind::Branch { .. });
        let aimed = if leveled || !on_branch {
            aim(axis, target.map(|g| g.to_per_foot() / 12.0), heading, seat.to_radians())
        } else {
            aim_plumb(axis, seat.to_radians())
        };
        Begun { tip, kind, seat, aimed, correction, target }
    }

    fn joint_kind(&self, tip: &Tip, start: &Start<'_>) -> (JointKind, Angle) {
        let part = &self.parts[tip.part.0 as usize];
        let transition = JointKind::TransitionCoupling;
        let kind = match &part.kind {
            PartKind::Existing { hub: true, .. } => match &self.job.stacks.get(self.stack_index(start.run)) {
                Some(stack) => match &stack.base {
                    crate::job::pipes::Base::IronHub { joint, .. }
                    | crate::job::pipes::Base::IronBranch { joint, .. } => *joint,
                    _ => transition,
                },
                None => JointKind::CompressionGasket,
            },
            PartKind::Existing { .. } => transition,
            PartKind::Fitting { pattern, .. } if pattern.family == Family::TransitionCoupling => transition,
            _ => match start.material {
                Material::IronHubless => JointKind::HublessCoupling,
                Material::Iron => JointKind::CompressionGasket,
                Material::Copper | Material::CopperDwv => JointKind::Soldered,
                _ => JointKind::SolventWeld,
            },
        };
        let seat = self.catalog.seat(kind, tip.size);
        (kind, seat)
    }

    fn stack_index(&self, run: RunId) -> usize {
        match self.runs[run.0 as usize].kind {
            super::rough_in::RunKind::Stack { index, .. } => index,
            super::rough_in::RunKind::Branch { .. } => usize::MAX,
        }
    }

    /// Adds the leg's piece (if any) and its part, with their joints.
    #[expect(clippy::too_many_arguments, reason = "a joint has two sides and each is named")]
    pub(super) fn finish(
        &mut self,
        run: RunId,
        begun: Begun,
        piece: Option<(Material, Length, Length)>,
        mut part: Part,
        entered: usize,
        world: Isometry3<f64>,
        path: &str,
    ) -> Option<PartId> {
        let tip = begun.tip;
        let high_label = part.label.clone();
        let piece_id = match piece {
            Some((material, cut, least)) => {
                Some(self.piece(run, &begun, material, cut, least, &high_label, path)?)
            }
            None => None,
        };
        let id = PartId(self.parts.len() as u32);
        part.id = id;
        let (low, joint) = match piece_id {
            Some(piece) => {
                let set = Angle::radians(0.0);
                let joint = self.join((piece, 1), (id, entered), begun.kind_beyond(), set, set, begun.seat);
                (piece, joint)
            }
            None => (tip.part, self.join_begun(&begun, (id, entered))),
        };
        let correction = if piece_id.is_none() { begun.correction } else { Isometry3::identity() };
        self.links.push(Some(Link {
            parent: low,
            parent_from_part: self.world[low.0 as usize].inverse() * correction.inverse() * world,
            joint,
            entered,
        }));
        self.world.push(world);
        self.parts.push(part);
        self.taken.insert((tip.part, tip.port));
        self.taken.insert((id, entered));
        let leg_joint = piece_id.map_or(joint, |_| JointId(joint.0 - 1));
        self.leg(run, &begun, tip.part, piece_id, Some(id), leg_joint);
        let stack = &self.runs[run.0 as usize];
        if let super::rough_in::RunKind::Stack { index, .. } = &stack.kind {
            let found = self.job.stacks[*index].corrections.iter().position(|c| *named(c) == high_label);
            if let Some(at) = found {
                let what = self.job.stacks[*index].corrections[at].clone();
                let path = format!("stacks[{index}].corrections[{at}]");
                self.corrections.insert(piece_id.unwrap_or(id), PlacedCorrection { what, path });
                if let super::rough_in::RunKind::Stack { corrected, .. } = &mut self.runs[run.0 as usize].kind
                {
                    corrected.push(leg_joint);
                }
            }
        }
        self.runs[run.0 as usize].fits.push((piece_id, id));
        Some(id)
    }

    /// Adds a piece on a begun leg.
    #[expect(clippy::too_many_arguments, reason = "each is one fact of the piece")]
    pub(super) fn piece(
        &mut self,
        run: RunId,
        begun: &Begun,
        material: Material,
        cut: Length,
        least: Length,
        toward: &Label,
        path: &str,
    ) -> Option<PartId> {
        let tip = begun.tip;
        let size = tip.size;
        let Some(pipe) = self.catalog.pipe(material, size) else {
            let message = format!("the catalog has no {size} in {material} pipe");
            self.faults.push(JobFault { path: path.into(), message, help: None });
            return None;
        };
        let (outside, inside) = (pipe.outside, pipe.inside);
        let id = PartId(self.parts.len() as u32);
        let world = super::orient::frame_along(tip.point, begun.aimed.axis);
        let joint = self.join_begun(begun, (id, 0));
        self.links.push(Some(Link {
            parent: tip.part,
            parent_from_part: self.world[tip.part.0 as usize].inverse() * begun.correction.inverse() * world,
            joint,
            entered: 0,
        }));
        self.world.push(world);
        let from = self.parts[tip.part.0 as usize].label.clone();
        self.parts.push(Part {
            id,
            label: Label::new(format!("{from} to {toward}")),
            run,
            material,
            kind: PartKind::Piece { size, outside, inside, cut },
        });
        self.taken.insert((tip.part, tip.port));
        if cut.to_inches() < least.to_inches() - SLACK {
            self.troubles.push(Trouble::ShortPiece { piece: id, cut, least });
        }
        Some(id)
    }

    fn join_begun(&mut self, begun: &Begun, high: (PartId, usize)) -> JointId {
        let set = Angle::radians(begun.aimed.set_rad);
        let wanted = Angle::radians(begun.aimed.wanted_rad);
        let low = (begun.tip.part, begun.tip.port);
        let joint = self.join(low, high, begun.kind, set, wanted, begun.seat);
        if wanted.to_radians().abs() > begun.seat.to_radians() + SLACK {
            self.troubles.push(Trouble::Seat { joint, wanted, seat: begun.seat });
        }
        joint
    }

    pub(super) fn join(
        &mut self,
        low: (PartId, usize),
        high: (PartId, usize),
        kind: JointKind,
        set: Angle,
        wanted: Angle,
        seat: Angle,
    ) -> JointId {
        let id = JointId(self.joints.len() as u32);
        let turned = Angle::radians(0.0);
        self.joints.push(Joint { id, low, high, kind, set, wanted, seat, turned, closing: false });
        id
    }

    pub(super) fn leg(
        &mut self,
        run: RunId,
        begun: &Begun,
        low: PartId,
        piece: Option<PartId>,
        high: Option<PartId>,
        joint: JointId,
    ) -> LegId {
        let id = LegId(self.legs.len() as u32);
        let (target, size) = (begun.target, begun.tip.size);
        self.legs.push(Leg { id, run, low, piece, high, joint, target, size });
        id
    }
}

impl Begun {
    /// The joint at the far end of a piece is made as its material's usual joint.
    fn kind_beyond(&self) -> JointKind {
        match self.kind {
            JointKind::CompressionGasket | JointKind::LeadAndOakum | JointKind::TransitionCoupling => {
                JointKind::SolventWeld
            }
            kind => kind,
        }
    }
}
