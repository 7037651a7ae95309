//! One run outwards: fitting after fitting, each turned into its joint and set at its distance.

use super::build::{Builder, Link, PlacedCorrection};
use super::lean::named;
use super::orient::{clock_axis, hand, pose};
use super::part::{Joint, JointId, Leg, LegId, Part, PartId, PartKind, RunId};
use super::settle::turn_about;
use super::target::{Aimed, STEEPEST_GRADED_RAD, aim, aim_plumb, clock_to_heading, roll_to_grade};
use super::trouble::{JobFault, Trouble};
use crate::catalog::family::Family;
use crate::catalog::joint::JointKind;
use crate::catalog::material::Material;
use crate::catalog::pattern::{Pattern, PortEnd};
use crate::job::Placement;
use crate::job::pipes::{End, Fit};
use crate::label::Label;
use crate::tolerance::SLACK;
use crate::units::{Angle, Grade, Length, NominalSize};
use nalgebra::{Isometry3, Point3, Vector2, Vector3};

/// A clock and a waypoint may differ by this much before they contradict each other.
const AGREE_RAD: f64 = 0.035;

/// A run about to be placed.
pub(super) struct Start<'a> {
    pub run: RunId,
    pub path: String,
    pub from: (PartId, usize),
    pub fits: &'a [Fit],
    pub end: &'a End,
    pub end_path: String,
    pub material: Material,
    pub grade: Option<Grade>,
    pub corrections: Vec<PlacedCorrection>,
}

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

    /// Places a run's fittings and its end.
    pub(super) fn run(&mut self, start: Start<'_>) {
        for correction in &start.corrections {
            if !start.fits.iter().any(|f| f.name == *named(&correction.what)) {
                let names: Vec<Label> = start.fits.iter().map(|f| f.name.clone()).collect();
                self.unknown(
                    &correction.path,
                    "fitting of this stack called",
                    named(&correction.what),
                    names.iter(),
                );
            }
        }
        let (mut part, mut port) = start.from;
        for (i, fit) in start.fits.iter().enumerate() {
            match self.fit(&start, i, fit, part, port) {
                Some((next, leave)) => {
                    part = next;
                    match leave {
                        Some(leave) => port = leave,
                        None if i + 1 < start.fits.len() => {
                            self.faults.push(JobFault {
                                path: format!("{}[{i}]", start.path),
                                message: format!(
                                    "nothing can go on beyond {}: it has no port to leave by",
                                    fit.name
                                ),
                                help: None,
                            });
                            return;
                        }
                        None => port = usize::MAX,
                    }
                }
                None => return,
            }
        }
        self.end(&start, part, (port != usize::MAX).then_some(port));
    }

    fn fit(
        &mut self,
        start: &Start<'_>,
        i: usize,
        fit: &Fit,
        part: PartId,
        port: usize,
    ) -> Option<(PartId, Option<usize>)> {
        let path = format!("{}[{i}]", start.path);
        let pattern = self.pattern(fit, &path)?;
        let enter = self.port_named(&pattern, fit.enter.as_ref(), pattern.enter, &format!("{path}.enter"))?;
        let leave = match &fit.leave {
            Some(name) => Some(self.port_named(&pattern, Some(name), 0, &format!("{path}.leave"))?),
            None => pattern.leave.filter(|l| *l != enter).or_else(|| {
                let others: Vec<usize> = (0..pattern.ports.len()).filter(|p| *p != enter).collect();
                // A tee entered by its branch still runs on through its usual way out or its one other way.
                pattern.leave.is_some().then(|| others.first().copied()).flatten()
            }),
        };
        let tip = self.tip(part, port);
        let entered = &pattern.ports[enter];
        self.ends_meet(&tip, entered.end, entered.size, &fit.name, &path)?;

        let origin = self.world[part.0 as usize] * Point3::origin();
        let waypoint = match &fit.to {
            Some(spot) => Some(self.plan_point(&spot.0, &format!("{path}.to"))?),
            None => None,
        };
        let heading =
            waypoint.map(|w| Vector2::new(w.x - origin.x, w.y - origin.y)).filter(|h| h.norm() > 0.25);
        let target = fit.grade.or(start.grade);
        let begun = self.begin(tip, target, heading, start, fit);
        let axis = begun.aimed.axis;
        // The distance does not depend on the clock: the entered port's stop lies on its own axis.
        let direct = entered.end == PortEnd::Spigot || tip.end == PortEnd::Spigot;
        let reach = (pattern.ports[enter].stop.coords.dot(&entered.axis)).abs();
        let at_zero = tip.point + axis * reach;
        let swings = pattern.weir.is_some();
        let least = tip.socket + entered.socket;
        let cut = if direct {
            self.no_length(fit, &path)?;
            Length::ZERO
        } else {
            self.length(start, i, fit, &pattern, origin, at_zero, axis, least, waypoint, swings, &path)?
        };
        let centre = at_zero + axis * cut.to_inches();
        let stop = tip.point + axis * cut.to_inches();

        let clock_axis = clock_axis(&pattern, enter, leave);
        let steered = self.steered(&pattern, enter, leave);
        let (next_heading, next_grade) = self.asked_of(start, i, fit, &pattern, enter, leave, centre);
        let leaves =
            |clock: f64| pose(&pattern, enter, clock_axis, stop, axis, clock) * pattern.ports[steered].axis;
        let mut clock = match (&fit.clock, next_heading) {
            (Some(clock), heading) => {
                let mut stated = clock.angle().to_radians();
                if let Some(h) = heading {
                    let by_way = clock_to_heading(axis, h, leaves);
                    let off = (by_way - stated).sin().atan2((by_way - stated).cos()).abs();
                    if off > AGREE_RAD {
                        self.faults.push(JobFault {
                            path: format!("{path}.clock"),
                            message: format!(
                                "{} is given clock {clock}, but its waypoint lies at {}; leave one of them out",
                                fit.name,
                                crate::job::clock::Clock::at(Angle::radians(by_way))
                            ),
                            help: None,
                        });
                        // One fault is enough: what comes after goes the way of the points.
                        stated = by_way;
                    }
                }
                stated
            }
            (None, Some(h)) => clock_to_heading(axis, h, leaves),
            (None, None) => 0.0,
        };
        if axis.z.abs() < STEEPEST_GRADED_RAD.sin()
            && let Some(grade) = next_grade
        {
            clock = roll_to_grade(clock, grade.to_per_foot() / 12.0, leaves);
        }
        let mut pattern = pattern;
        if swings {
            let world = pose(&pattern, enter, clock_axis, stop, axis, clock);
            pattern = self.swing(start, fit, pattern, world, &path)?;
        }
        let world = pose(&pattern, enter, clock_axis, stop, axis, clock);
        debug_assert!(
            (hand(axis, clock) - world * clock_axis).norm() < 1e-6,
            "the clock axis points at the clock"
        );
        self.check_corner(start, i, &pattern, enter, leave, world, centre);

        let plugs = self.plugs(&pattern, fit, enter, leave, &path);
        let material = if pattern.materials.contains(&start.material) {
            start.material
        } else {
            pattern.materials.first().copied().unwrap_or(start.material)
        };
        let id = self.finish(
            start.run,
            begun,
            (!direct).then_some((start.material, cut, least)),
            Part {
                id: PartId(0),
                label: fit.name.clone(),
                run: start.run,
                material,
                kind: PartKind::Fitting { pattern: Box::new(pattern), plugs: plugs.clone() },
            },
            enter,
            world,
            &path,
        )?;
        self.taken.extend(plugs.into_iter().chain(leave).map(|p| (id, p)));
        self.fittings.insert(fit.name.clone(), id);
        Some((id, leave))
    }

    /// The pattern of a fit, with what was measured in the hand.
    fn pattern(&mut self, fit: &Fit, path: &str) -> Option<Pattern> {
        let mut pattern = match self.catalog.pattern(fit.fit.as_str()) {
            Ok(pattern) => pattern.clone(),
            Err(unknown) => {
                self.faults.push(JobFault {
                    path: format!("{path}.fit"),
                    message: unknown.to_string(),
                    help: None,
                });
                return None;
            }
        };
        let job = self.job;
        for (i, measured) in job.in_hand.iter().enumerate() {
            let same = self.catalog.pattern(measured.fit.as_str()).is_ok_and(|p| p.name == pattern.name);
            if same {
                match pattern.with_laying(measured.port.as_str(), measured.laying, measured.socket) {
                    Ok(changed) => pattern = changed,
                    Err(e) => {
                        let path = format!("in_hand[{i}]");
                        let fault = JobFault { path, message: e.to_string(), help: None };
                        if !self.faults.contains(&fault) {
                            self.faults.push(fault);
                        }
                    }
                }
            }
        }
        Some(pattern)
    }

    fn port_named(
        &mut self,
        pattern: &Pattern,
        name: Option<&Label>,
        usual: usize,
        path: &str,
    ) -> Option<usize> {
        let Some(name) = name else { return Some(usual) };
        let at = pattern.ports.iter().position(|p| p.name == *name);
        if at.is_none() {
            let known: Vec<Label> = pattern.ports.iter().map(|p| p.name.clone()).collect();
            self.unknown(path, &format!("port of a {} called", pattern.name), name, known.iter());
        }
        at
    }

    fn plugs(
        &mut self,
        pattern: &Pattern,
        fit: &Fit,
        enter: usize,
        leave: Option<usize>,
        path: &str,
    ) -> Vec<usize> {
        let mut plugs = Vec::new();
        for (i, name) in fit.plugs.iter().enumerate() {
            let path = format!("{path}.plugs[{i}]");
            match self.port_named(pattern, Some(name), 0, &path) {
                Some(port) if port != enter && Some(port) != leave => plugs.push(port),
                Some(_) => self.faults.push(JobFault {
                    path,
                    message: format!("{name} can't be plugged: the run goes through it"),
                    help: None,
                }),
                None => {}
            }
        }
        plugs
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

    fn no_length(&mut self, fit: &Fit, path: &str) -> Option<()> {
        let given = fit.height.is_some() as u8
            + fit.level.is_some() as u8
            + fit.centre.is_some() as u8
            + fit.cut.is_some() as u8;
        if given > 0 {
            self.faults.push(JobFault {
                path: path.into(),
                message: format!(
                    "{} goes straight on the end before it, without a piece; leave out height, level, centre and cut",
                    fit.name
                ),
                help: None,
            });
            return None;
        }
        Some(())
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
