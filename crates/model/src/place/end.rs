//! The far end of a run: a stub through the wall, a standpipe, a closing piece, a way out through the roof.

use super::build::Builder;
use super::joint::Begun;
use super::part::PartId;
use super::run::Start;
use super::target::aim;
use super::trouble::JobFault;
use crate::catalog::pattern::PortEnd;
use crate::job::fixture::FixtureKind;
use crate::job::pipes::{End, Fit, PortName};
use crate::label::Label;
use crate::network::Terminal;
use crate::units::Length;
use nalgebra::{Vector2, Vector3};

/// What stands at the far ends of runs.
#[derive(Debug, Clone, Default)]
pub(super) struct Terminals {
    /// Fixtures and air, by the last part of their run.
    pub list: Vec<(PartId, Terminal)>,
    /// Ties: the run's closing piece, the port's name, the part and port it should meet.
    pub ties: Vec<(PartId, PortName, PartId, usize)>,
}

impl Builder<'_> {
    /// Ends a run at its last part; `port` is the one still open, none where the part has no way on.
    pub(super) fn end(&mut self, start: &Start<'_>, part: PartId, port: Option<usize>) {
        match start.end {
            End::Fixture { name, past } => self.end_at_fixture(start, part, port, name, *past),
            End::Tie { to } => {
                if let Some(port) = self.port_needed(start, port) {
                    self.end_at_tie(start, part, port, to);
                }
            }
            End::Roof { above } => {
                if let Some(port) = self.port_needed(start, port) {
                    self.end_at_roof(start, part, port, *above);
                }
            }
            End::Valve {} => {
                self.terminals.list.push((part, Terminal::Air));
                self.take(part, port);
            }
            End::Capped {} => self.take(part, port),
            End::Open {} => {}
        }
    }

    fn take(&mut self, part: PartId, port: Option<usize>) {
        self.taken.extend(port.map(|p| (part, p)));
    }

    fn port_needed(&mut self, start: &Start<'_>, port: Option<usize>) -> Option<usize> {
        if port.is_none() {
            self.faults.push(JobFault {
                path: start.end_path.clone(),
                message: "the last fitting has no port to go on from".into(),
                help: None,
            });
        }
        port
    }

    fn end_at_fixture(
        &mut self,
        start: &Start<'_>,
        part: PartId,
        port: Option<usize>,
        name: &Label,
        past: Length,
    ) {
        let job = self.job;
        let Some(index) = job.fixtures.iter().position(|f| f.name == *name) else {
            let names: Vec<Label> = job.fixtures.iter().map(|f| f.name.clone()).collect();
            self.unknown(&format!("{}.name", start.end_path), "fixture", name, names.iter());
            return;
        };
        let fixture = &job.fixtures[index];
        if self.runs.iter().any(|r| r.fixture == Some(index)) {
            self.faults.push(JobFault {
                path: format!("{}.name", start.end_path),
                message: format!("{name} is already the end of another run"),
                help: None,
            });
            return;
        }
        let mut last = part;
        if fixture.kind.through_wall() {
            let Some(port) = self.port_needed(start, port) else { return };
            let Some(wall) = fixture.wall.as_ref().and_then(|w| self.framed.wall(w)).cloned() else {
                self.faults.push(JobFault {
                    path: format!("fixtures[{index}].wall"),
                    message: format!("{name} drains through a wall; name the wall"),
                    help: None,
                });
                return;
            };
            let heading = Some(Vector2::new(wall.into_room.x, wall.into_room.y));
            let begun = self.begin_end(start, part, port, heading, name);
            let axis = begun.aimed.axis;
            let out = Vector2::new(axis.x, axis.y).dot(&wall.into_room);
            if out < 0.3 {
                self.faults.push(JobFault {
                    path: start.end_path.clone(),
                    message: format!(
                        "the last leg does not head out of {}; turn its last fitting towards the room",
                        wall.label
                    ),
                    help: None,
                });
                return;
            }
            let face = wall.finish_room + past.to_inches();
            let now = (begun.tip.point.xy() - wall.origin).dot(&wall.into_room);
            let cut = Length::inches((face - now) / out);
            last = match self.end_piece(start, begun, cut, name) {
                Some(piece) => piece,
                None => return,
            };
        } else if fixture.kind == FixtureKind::WasherBox
            && let Some(port) = port
        {
            let begun = self.begin_end(start, part, port, None, name);
            let rim = self.rim_z(index);
            if begun.aimed.axis.z > 0.9
                && let Some(rim) = rim
            {
                let cut = Length::inches((rim - begun.tip.point.z) / begun.aimed.axis.z);
                last = match self.end_piece(start, begun, cut, name) {
                    Some(piece) => piece,
                    None => return,
                };
            } else {
                self.faults.push(JobFault {
                    path: start.end_path.clone(),
                    message: format!("{name} needs its standpipe on a trap that looks up"),
                    help: None,
                });
                return;
            }
        } else {
            self.take(part, port);
        }
        self.runs[start.run.0 as usize].fixture = Some(index);
        self.terminals.list.push((last, Terminal::Fixture));
    }

    fn rim_z(&mut self, fixture: usize) -> Option<f64> {
        let fixture = &self.job.fixtures[fixture];
        match &fixture.rim {
            Some(rim) => self.height_z(rim, "fixtures.rim"),
            None => {
                let usual = self.catalog.rough_in(fixture.kind.word())?.rim.value;
                self.framed.floor(&fixture.floor).map(|f| f.finished_z + usual.to_inches())
            }
        }
    }

    fn begin_end(
        &mut self,
        start: &Start<'_>,
        part: PartId,
        port: usize,
        heading: Option<Vector2<f64>>,
        name: &Label,
    ) -> Begun {
        let tip = self.tip(part, port);
        self.begin(tip, start.grade, heading, start, &Fit::plain(name.as_str(), name.as_str()))
    }

    fn end_piece(&mut self, start: &Start<'_>, begun: Begun, cut: Length, toward: &Label) -> Option<PartId> {
        if begun.tip.end != PortEnd::Hub {
            self.faults.push(JobFault {
                path: start.end_path.clone(),
                message: "the last fitting ends in a spigot; pipe needs a hub".into(),
                help: None,
            });
            return None;
        }
        let least = begun.tip.socket;
        let piece = self.piece(start.run, &begun, start.material, cut, least, toward, &start.end_path)?;
        let joint = crate::place::JointId(self.joints.len() as u32 - 1);
        self.leg(start.run, &begun, begun.tip.part, Some(piece), None, joint);
        self.runs[start.run.0 as usize].last_piece = Some(piece);
        Some(piece)
    }

    fn end_at_roof(&mut self, start: &Start<'_>, part: PartId, port: usize, above: Length) {
        let begun = self.begin_end(start, part, port, None, &Label::new("roof"));
        let (point, axis) = (begun.tip.point, begun.aimed.axis);
        let path = start.end_path.clone();
        let outside = self.outside(start.material, begun.tip.size, &path).unwrap_or(Length::ZERO).to_inches();
        let Some((roof, z)) = self.framed.roof_over(point.x, point.y).map(|(r, z)| (r.clone(), z)) else {
            self.faults.push(JobFault {
                path,
                message: "there is no roof over this run; give the house's roof, or another end".into(),
                help: None,
            });
            return;
        };
        if axis.z < 0.5 {
            self.faults.push(JobFault {
                path,
                message: "the last leg does not rise to the roof".into(),
                help: None,
            });
            return;
        }
        // Measured at the high side of the pipe, where the roof reaches highest on it.
        let high = z + 0.5 * outside * roof.slope.abs();
        let cut = Length::inches((high + above.to_inches() - point.z) / axis.z);
        if let Some(piece) = self.end_piece(start, begun, cut, &Label::new("roof")) {
            self.terminals.list.push((piece, Terminal::Air));
        }
    }

    fn end_at_tie(&mut self, start: &Start<'_>, part: PartId, port: usize, to: &PortName) {
        let path = format!("{}.to", start.end_path);
        let Some((target, target_port)) = self.free_port(to, &path) else { return };
        let goal = self.tip(target, target_port);
        let mut begun = self.begin_end(start, part, port, None, &to.fitting);
        // The closing piece is set, as far as its joint takes it, straight at the port it should meet.
        let want: Vector3<f64> = goal.point - begun.tip.point;
        let seat = begun.seat.to_radians();
        let off = begun.tip.axis.angle(&want);
        if want.norm() > 1e-6 && off > 1e-12 && off < std::f64::consts::FRAC_PI_2 {
            let share = (seat / off).min(1.0);
            let across = begun.tip.axis.cross(&want).normalize();
            let turn =
                nalgebra::Rotation3::from_axis_angle(&nalgebra::Unit::new_unchecked(across), off * share);
            let mut aimed = aim(begun.tip.axis, None, None, 0.0);
            aimed.axis = turn * begun.tip.axis;
            aimed.set_rad = off * share;
            begun.aimed = aimed;
            begun.target = None;
        }
        let label = to.fitting.clone();
        if self.ends_meet(&goal, PortEnd::Spigot, begun.tip.size, &label, &path).is_none() {
            return;
        }
        let cut = Length::inches(want.dot(&begun.aimed.axis));
        let (kind, seat, least) = (begun.kind, begun.seat, begun.tip.socket + goal.socket);
        let Some(piece) = self.piece(start.run, &begun, start.material, cut, least, &label, &path) else {
            return;
        };
        let set_joint = crate::place::JointId(self.joints.len() as u32 - 1);
        self.leg(start.run, &begun, begun.tip.part, Some(piece), Some(target), set_joint);
        let zero = crate::units::Angle::radians(0.0);
        let joint = self.join((target, target_port), (piece, 1), kind, zero, zero, seat);
        self.joints[joint.0 as usize].closing = true;
        self.taken.insert((target, target_port));
        self.runs[start.run.0 as usize].last_piece = Some(piece);
        self.terminals.ties.push((piece, to.clone(), target, target_port));
    }
}
