//! A whole job moved over the plan and turned about the vertical, word by word: what a plumber would have written down
//! from another zero, facing another way.

use nalgebra::{Point3, Rotation3, Vector3};
use std::collections::BTreeMap;
use truefall_model::framing::floor::{Axis, Floor};
use truefall_model::framing::frame::Framed;
use truefall_model::framing::provided::Provided;
use truefall_model::job::clock::Clock;
use truefall_model::job::pipes::{Base, Fit};
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{RoughIn, clock_axis, clock_of};
use truefall_model::units::{Angle, Length};

/// Steeper than this a joint's clock is read on the plan; the document says 60 degrees.
const STEEP_SINE: f64 = 0.866;

/// Quarter turns counterclockwise about the job's zero, then a way over the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Quarter turns, 0 to 3.
    pub quarters: u8,
    /// To the right.
    pub dx: Length,
    /// Up on the plan.
    pub dy: Length,
}

/// A job moved, and what its pieces of wood are called there.
#[derive(Debug, Clone)]
pub struct Moved {
    /// The job.
    pub job: Job,
    /// New names of members by their old ones.
    pub names: BTreeMap<Label, Label>,
}

impl Motion {
    /// A move without a turn.
    pub fn by(dx: Length, dy: Length) -> Self {
        Self { quarters: 0, dx, dy }
    }

    /// Quarter turns without a move.
    pub fn turns(quarters: u8) -> Self {
        Self { quarters: quarters % 4, dx: Length::ZERO, dy: Length::ZERO }
    }

    /// The job as it reads after the motion. `rough_in` is the job placed: it says which clocks are read on the plan.
    ///
    /// # Panics
    /// A member of the frame has no counterpart in the frame of the moved house.
    pub fn apply(self, job: &Job, rough_in: &RoughIn) -> Moved {
        let mut out = job.clone();
        let framed = &rough_in.framed;
        for floor in &mut out.house.floors {
            self.floor(floor, framed);
        }
        for wall in &mut out.house.walls {
            (wall.from, wall.to) = (self.point(wall.from), self.point(wall.to));
        }
        for plane in &mut out.house.roof {
            plane.eave = (self.point(plane.eave.0), self.point(plane.eave.1));
        }
        for member in &mut out.house.members {
            (member.from, member.size) = self.boxed(member.from, member.size);
        }
        for keep_out in &mut out.house.keep_outs {
            if let (Some(from), Some(size)) = (&mut keep_out.from, &mut keep_out.size) {
                (*from, *size) = self.boxed(*from, *size);
            }
        }
        for fixture in &mut out.fixtures {
            self.spot(&mut fixture.at);
        }
        for stack in &mut out.stacks {
            match &mut stack.base {
                Base::IronHub { at, .. } | Base::CutPipe { at, .. } => self.spot(at),
                Base::Stub { at, looks, .. } | Base::IronBranch { at, looks, .. } => {
                    self.spot(at);
                    *looks = self.clock(*looks);
                }
            }
            self.fits(&mut stack.up, rough_in, &stack.name, job.cut_on);
        }
        for branch in &mut out.branches {
            self.fits(&mut branch.along, rough_in, &branch.name, job.cut_on);
        }
        let names = self.names(framed, &Framed::with_provided(&out.house, &out.provided).0);
        for item in &mut out.provided {
            rename(item, &names);
        }
        for accepted in &mut out.accepted {
            for label in &mut accepted.labels {
                if let Some(new) = names.get(label) {
                    *label = new.clone();
                }
            }
        }
        Moved { job: out, names }
    }

    /// A point after the motion; exact but for the rounding of the move.
    fn point(self, (x, y): (Length, Length)) -> (Length, Length) {
        let (x, y) = match self.quarters {
            0 => (x, y),
            1 => (y * -1.0, x),
            2 => (x * -1.0, y * -1.0),
            _ => (y, x * -1.0),
        };
        (x + self.dx, y + self.dy)
    }

    fn rectangle(self, a: (Length, Length), b: (Length, Length)) -> ((Length, Length), (Length, Length)) {
        let (a, b) = (self.point(a), self.point(b));
        ((a.0.min(b.0), a.1.min(b.1)), (a.0.max(b.0), a.1.max(b.1)))
    }

    fn boxed(self, from: Triple, size: Triple) -> (Triple, Triple) {
        let (low, high) = self.rectangle((from.0, from.1), (from.0 + size.0, from.1 + size.1));
        ((low.0, low.1, from.2), (high.0 - low.0, high.1 - low.1, size.2))
    }

    fn spot(self, spot: &mut Spot) {
        if let PlanPoint::At { x, y } = &mut spot.0 {
            (*x, *y) = self.point((*x, *y));
        }
    }

    fn clock(self, clock: Clock) -> Clock {
        Clock::at(clock.angle() - Angle::degrees(90.0 * f64::from(self.quarters)))
    }

    fn floor(self, floor: &mut Floor, framed: &Framed) {
        let was = floor.outline;
        floor.outline = was.map(|(a, b)| self.rectangle(a, b));
        for opening in &mut floor.openings {
            (opening.from, opening.to) = self.rectangle(opening.from, opening.to);
        }
        let (Some(joists), Some((a, b))) = (&mut floor.joists, was) else { return };
        // Edges are told from the corner of least x and y: the row is told the other way round where its way across
        // comes to look at less.
        let turned_round = match joists.runs {
            Axis::Y => matches!(self.quarters, 2 | 3),
            Axis::X => matches!(self.quarters, 1 | 2),
        };
        if turned_round {
            let width = match joists.runs {
                Axis::Y => (a.0 - b.0).abs(),
                Axis::X => (a.1 - b.1).abs(),
            };
            let id = framed.floor(&floor.name).map(|f| f.id);
            let mut edges: Vec<Length> = framed
                .members
                .iter()
                .filter(|m| m.floor == id && m.kind.is_joist())
                .filter_map(|m| Some(width - m.along? - m.thickness()))
                .collect();
            edges.sort_by(|a, b| a.to_inches().total_cmp(&b.to_inches()));
            edges.dedup();
            joists.edges = edges;
        }
        if self.quarters % 2 == 1 {
            joists.runs = if joists.runs == Axis::X { Axis::Y } else { Axis::X };
        }
    }

    /// Turns what is told on the plan: waypoints, swings, and the clocks of steep joints. A fitting on a riser to which no
    /// clock and no way is told points to 12; turned, that must be said.
    fn fits(self, fits: &mut [Fit], rough_in: &RoughIn, run: &Label, cut_on: Placement) {
        let placed = rough_in.placed(cut_on);
        let run = rough_in.runs.iter().find(|r| r.label == *run);
        for (i, fit) in fits.iter_mut().enumerate() {
            if let Some(to) = &mut fit.to {
                self.spot(to);
            }
            fit.swing = fit.swing.map(|s| self.clock(s));
            let Some(part) = run.and_then(|r| r.fits.get(i)).map(|f| f.1) else { continue };
            let Some(joint) = rough_in.network.down[part.0 as usize].map(|j| rough_in.joint(j)) else {
                continue;
            };
            let enter = joint.high.1;
            let axis = -placed.axis(rough_in, part, enter);
            if axis.z.abs() <= STEEP_SINE {
                continue;
            }
            let Some(pattern) = rough_in.part(part).pattern() else { continue };
            let leave = rough_in.network.above(part).next().map(|(j, _)| rough_in.joint(j).low.1);
            let leave = match &fit.leave {
                Some(name) => pattern.ports.iter().position(|p| p.name == *name),
                None => leave,
            };
            let hand: Vector3<f64> =
                placed.world_from_part[part.0 as usize].rotation * clock_axis(pattern, enter, leave);
            let is = clock_of(axis, hand).angle().to_radians();
            if fit.clock.is_some() {
                fit.clock = fit.clock.map(|c| self.clock(c));
            } else if is.sin().abs() < 1e-9 && is.cos() > 0.0 {
                fit.clock = Some(self.clock(Clock::at(Angle::ZERO)));
            }
        }
    }

    /// What each member is called in the frame of the moved house, told by where it stands.
    fn names(self, old: &Framed, new: &Framed) -> BTreeMap<Label, Label> {
        let turn = Rotation3::from_axis_angle(
            &Vector3::z_axis(),
            f64::from(self.quarters) * std::f64::consts::FRAC_PI_2,
        );
        let over = Vector3::new(self.dx.to_inches(), self.dy.to_inches(), 0.0);
        old.members
            .iter()
            .map(|member| {
                let at: Point3<f64> = turn * member.centre() + over;
                let there =
                    new.members.iter().find(|m| m.kind == member.kind && (m.centre() - at).norm() < 1e-6);
                let there = there.unwrap_or_else(|| panic!("{} has no counterpart at {at}", member.label));
                (member.label.clone(), there.label.clone())
            })
            .collect()
    }
}

type Triple = (Length, Length, Length);

fn rename(item: &mut Provided, names: &BTreeMap<Label, Label>) {
    let member = match item {
        Provided::Plate { member, .. } | Provided::Strap { member, .. } => member,
        Provided::Hole { member: Some(member), .. } | Provided::Hanger { to: Some(member), .. } => member,
        _ => return,
    };
    if let Some(new) = names.get(member) {
        *member = new.clone();
    }
}

/// The job with every string hung as if its barrel stood plumb, and no corrections: a plumb survey.
pub fn plumbed(job: &Job) -> Job {
    let mut out = job.clone();
    for stack in &mut out.stacks {
        stack.corrections.clear();
        for string in &mut stack.lean {
            let first = string.gaps.first().map(|g| g.gap);
            for gap in &mut string.gaps {
                gap.gap = first.unwrap_or(gap.gap);
            }
        }
    }
    out
}
