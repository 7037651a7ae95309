//! The placed job: parts, joints and legs once, where they are twice.

use super::part::{Joint, JointId, Leg, LegId, Part, PartId, RunId};
use super::trouble::Trouble;
use crate::framing::frame::Framed;
use crate::job::Placement;
use crate::job::pipes::{PortName, System};
use crate::label::Label;
use crate::network::Network;
use crate::solid::Body;
use crate::survey::{Lean, LineFit};
use crate::units::{Angle, Grade, Length};
use nalgebra::{Isometry3, Point3, Vector2, Vector3};

/// A job with its house framed and its parts placed.
#[derive(Debug, Clone)]
pub struct RoughIn {
    /// The house: floors, walls, members, keep-outs.
    pub framed: Framed,
    /// Stacks first, then branches, in the order they were placed.
    pub runs: Vec<Run>,
    /// All parts, each behind the part it was joined to.
    pub parts: Vec<Part>,
    /// All joints.
    pub joints: Vec<Joint>,
    /// All legs.
    pub legs: Vec<Leg>,
    /// Who joins whom and which way it flows.
    pub network: Network,
    /// Bases plumb.
    pub drawn: Placed,
    /// Bases as surveyed, then corrected.
    pub found: Placed,
    /// What placement could not make as the job asks.
    pub troubles: Vec<Trouble>,
}

/// A stack or a branch.
#[derive(Debug, Clone)]
pub struct Run {
    /// Its number.
    pub id: RunId,
    /// Its name.
    pub label: Label,
    /// What it is.
    pub kind: RunKind,
    /// Its fittings in order, with the piece (if any) before each.
    pub fits: Vec<(Option<PartId>, PartId)>,
    /// The piece at its far end, such as a stub through the wall, a standpipe, a closing piece.
    pub last_piece: Option<PartId>,
    /// The fixture at its end, by index in the job.
    pub fixture: Option<usize>,
    /// What the job says it is for.
    pub system: Option<System>,
}

/// Whether a run is a stack or a branch.
#[derive(Debug, Clone)]
pub enum RunKind {
    /// A riser on its own base.
    Stack {
        /// Index in the job's stacks.
        index: usize,
        /// The existing part it stands on.
        base: PartId,
        /// The lean as surveyed; none where nothing was read.
        lean: Option<Lean>,
        /// The two lines through the readings.
        fits: Vec<LineFit>,
        /// Joints at which a correction was made.
        corrected: Vec<JointId>,
    },
    /// A run off another.
    Branch {
        /// Index in the job's branches.
        index: usize,
        /// The part and port it leaves.
        from: (PartId, usize),
    },
}

/// Where everything is in one placement; job axes, inches.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Which placement.
    pub placement: Placement,
    /// By part: job axes from the part's frame.
    pub world_from_part: Vec<Isometry3<f64>>,
    /// By part: the convex bodies that enclose it, in job axes.
    pub bodies: Vec<Vec<Body>>,
    /// Where pipe ends land against where fixtures need them.
    pub landings: Vec<Landing>,
    /// What is left at each tie.
    pub closures: Vec<Closure>,
}

/// Where a run's end lands and where its fixture needs it.
#[derive(Debug, Clone)]
pub struct Landing {
    /// Index of the fixture in the job.
    pub fixture: usize,
    /// The run that ends there.
    pub run: RunId,
    /// The part that lands.
    pub part: PartId,
    /// Where it lands: a stub where it crosses the finished wall, a flange's ring, a trap's inlet, a standpipe's rim.
    pub at: Point3<f64>,
    /// Where the fixture needs it; a direction in which it may be anywhere is taken from `at`.
    pub wants: Point3<f64>,
    /// Which way it looks there, out of the pipe.
    pub axis: Vector3<f64>,
    /// The trap's weir: of the trap in the run, or of the trap hung on the stub at finish; none for a closet.
    pub weir: Option<Point3<f64>>,
    /// How far off it may be.
    pub tolerance: Length,
    /// Whether any of the fixture's figures were assumed.
    pub assumed: bool,
}

impl Landing {
    /// How far off it lands.
    pub fn misfit(&self) -> Length {
        Length::inches((self.at - self.wants).norm())
    }
}

/// What is left between the closing piece of a tie and the port it should meet.
#[derive(Debug, Clone)]
pub struct Closure {
    /// The run that is tied.
    pub run: RunId,
    /// The closing piece.
    pub part: PartId,
    /// The port it should meet.
    pub to: PortName,
    /// From the piece's end to the port's stop.
    pub gap: Length,
    /// Between the piece's line and the port's.
    pub angle: Angle,
    /// The piece's end.
    pub at: Point3<f64>,
}

impl RoughIn {
    /// One of the two placements.
    pub fn placed(&self, placement: Placement) -> &Placed {
        match placement {
            Placement::Drawn => &self.drawn,
            Placement::Found => &self.found,
        }
    }

    /// A part by number.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.0 as usize]
    }

    /// A joint by number.
    pub fn joint(&self, id: JointId) -> &Joint {
        &self.joints[id.0 as usize]
    }

    /// A leg by number.
    pub fn leg(&self, id: LegId) -> &Leg {
        &self.legs[id.0 as usize]
    }

    /// A run by number.
    pub fn run(&self, id: RunId) -> &Run {
        &self.runs[id.0 as usize]
    }

    /// What a part is for: as its own run says; cold or hot where the run it hangs on is; else a drain where waste
    /// passes and a vent where not.
    pub fn system(&self, part: PartId) -> System {
        let own = self.run(self.part(part).run);
        if let Some(system) = own.system {
            return system;
        }
        match self.stack_of(own.id).system {
            Some(water @ (System::Cold | System::Hot)) => water,
            _ if self.network.wet[part.0 as usize] => System::Drain,
            _ => System::Vent,
        }
    }

    /// The stack a run hangs on: itself, or the one its chain of branches leaves.
    pub fn stack_of(&self, id: RunId) -> &Run {
        let mut run = self.run(id);
        while let RunKind::Branch { from, .. } = &run.kind {
            run = self.run(self.part(from.0).run);
        }
        run
    }

    /// Unit vector of a leg away from the base.
    pub fn leg_axis(&self, placed: &Placed, leg: LegId) -> Vector3<f64> {
        let leg = self.leg(leg);
        let joint = self.joint(leg.joint);
        // The far side of the joint points back at the base.
        -placed.axis(self, joint.high.0, joint.high.1)
    }

    /// Both ends of a leg's centre line, towards the base first: where its fittings' axes start and stop.
    pub fn leg_ends(&self, placed: &Placed, leg: LegId) -> (Point3<f64>, Point3<f64>) {
        let leg = self.leg(leg);
        let low = placed.origin(leg.low);
        let high = match (leg.high, leg.piece) {
            (Some(part), _) => placed.origin(part),
            (None, Some(piece)) => placed.stop(self, piece, 1),
            (None, None) => low,
        };
        (low, high)
    }

    /// Grade of a leg: rise away from the base over level length; none for a leg steeper than 45 degrees.
    pub fn grade(&self, placed: &Placed, leg: LegId) -> Option<Grade> {
        let axis = self.leg_axis(placed, leg);
        let level = axis.xy().norm();
        (level > axis.z.abs()).then(|| Grade::per_foot(axis.z / level * 12.0))
    }

    /// Standard error of a leg's grade in the found placement that comes from the survey, in in/ft.
    pub fn grade_error(&self, leg: LegId) -> Grade {
        let leg = self.leg(leg);
        let axis = self.leg_axis(&self.found, leg.id);
        let heading = Vector2::new(axis.x, axis.y);
        let RunKind::Stack { lean: Some(lean), corrected, .. } = &self.stack_of(leg.run).kind else {
            return Grade::per_foot(0.0);
        };
        if heading.norm() < 1e-9 || corrected.iter().any(|j| self.network.beyond(*j, leg.low)) {
            return Grade::per_foot(0.0);
        }
        Grade::per_foot(lean.along(nalgebra::UnitVector2::new_normalize(heading)).error_in_per_ft)
    }
}

impl Placed {
    /// The part's origin: what heights refer to.
    pub fn origin(&self, part: PartId) -> Point3<f64> {
        self.world_from_part[part.0 as usize] * Point3::origin()
    }

    /// Where a port's mate ends.
    pub fn stop(&self, rough_in: &RoughIn, part: PartId, port: usize) -> Point3<f64> {
        self.world_from_part[part.0 as usize] * rough_in.part(part).stop_and_axis(port).0
    }

    /// Unit vector out of a port.
    pub fn axis(&self, rough_in: &RoughIn, part: PartId, port: usize) -> Vector3<f64> {
        self.world_from_part[part.0 as usize] * rough_in.part(part).stop_and_axis(port).1
    }

    /// The convex bodies of a part in job axes.
    pub fn bodies_of(&self, part: PartId) -> &[Body] {
        &self.bodies[part.0 as usize]
    }
}
