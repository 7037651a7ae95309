//! A leaning stack: its lean, its joints, the walls it can be drawn towards.

use nalgebra::{Point3, UnitVector2, Vector2};
use truefall_model::catalog::Catalog;
use truefall_model::catalog::joint::JointKind;
use truefall_model::job::clock::Clock;
use truefall_model::job::pipes::Stack;
use truefall_model::job::{Edit, Job, edit::Change};
use truefall_model::label::Label;
use truefall_model::place::{Joint, PartId, RoughIn, Run, RunKind};
use truefall_model::survey::Lean;
use truefall_model::units::Angle;

/// How a stack leans, as surveyed.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaning {
    /// Inches sideways per foot of height.
    pub in_per_ft: f64,
    /// Standard error of it.
    pub error: f64,
    /// The same as an angle.
    pub angle: Angle,
    /// Where its top leans to on the plan.
    pub clock: Clock,
    /// The wall it leans towards, where one stands there.
    pub wall: Option<Label>,
}

impl Leaning {
    /// Whether the readings tell the lean from plumb: twice its error or more.
    pub fn told(&self) -> bool {
        self.in_per_ft >= 2.0 * self.error
    }
}

/// A stack with its survey, about to be planned for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leaner<'a> {
    pub job: &'a Job,
    pub catalog: &'a Catalog,
    pub rough_in: &'a RoughIn,
    pub written: &'a Stack,
    pub index: usize,
    pub run: &'a Run,
    pub base: PartId,
    pub lean: &'a Lean,
    pub way: UnitVector2<f64>,
}

impl<'a> Leaner<'a> {
    /// The stack, where it was surveyed and leans at all.
    pub fn of(job: &'a Job, catalog: &'a Catalog, rough_in: &'a RoughIn, run: &'a Run) -> Option<Self> {
        let RunKind::Stack { index, base, lean: Some(lean), .. } = &run.kind else { return None };
        let written = job.stacks.get(*index)?;
        let way = lean.heading()?;
        Some(Self { job, catalog, rough_in, written, index: *index, run, base: *base, lean, way })
    }

    pub fn leaning(&self) -> Leaning {
        let way = *self.way;
        Leaning {
            in_per_ft: self.lean.lean_in_per_ft(),
            error: self.lean.lean_error_in_per_ft(),
            angle: self.angle(),
            clock: Clock::at(Angle::radians(way.x.atan2(way.y))),
            wall: self.rough_in.framed.wall_facing(self.foot(), way).map(|wall| wall.label.clone()),
        }
    }

    pub fn angle(&self) -> Angle {
        Angle::radians((self.lean.lean_in_per_ft() / 12.0).atan())
    }

    /// Where the new work starts.
    pub fn foot(&self) -> Point3<f64> {
        self.rough_in.found.stop(self.rough_in, self.base, 0)
    }

    /// The highest point of the stack's own parts, as found.
    pub fn top_z(&self) -> f64 {
        let found = &self.rough_in.found;
        let piece = self.run.last_piece.map(|p| found.stop(self.rough_in, p, 1).z);
        let fits = self.run.fits.iter().map(|(_, fit)| found.origin(*fit).z);
        fits.chain(piece).fold(self.foot().z, f64::max)
    }

    /// The joint under a fitting of the stack: where its leg leaves the part below.
    pub fn joint_under(&self, at: usize) -> Option<&'a Joint> {
        let (piece, fit) = self.run.fits.get(at)?;
        let above = piece.unwrap_or(*fit);
        self.rough_in.joints.iter().find(|joint| joint.high.0 == above && !joint.closing)
    }

    pub fn limit(&self, kind: JointKind) -> Angle {
        self.catalog.deflection_limit(kind)
    }

    /// `S1 base and T1`: the two fittings that a joint under a fitting lies between.
    pub fn between(&self, at: usize) -> String {
        let below = match at.checked_sub(1).and_then(|below| self.run.fits.get(below)) {
            Some((_, fit)) => self.rough_in.part(*fit).label.to_string(),
            None => self.rough_in.part(self.base).label.to_string(),
        };
        let above = self.run.fits.get(at).map_or_else(String::new, |(_, fit)| self.label(*fit));
        format!("{below} and {above}")
    }

    pub fn label(&self, part: PartId) -> String {
        self.rough_in.part(part).label.to_string()
    }

    /// The edits that take out what the job says is done about the lean already.
    pub fn clear(&self) -> Vec<Edit> {
        (0..self.written.corrections.len())
            .rev()
            .map(|at| Edit::Correction { stack: self.written.name.clone(), change: Change::Remove { at } })
            .collect()
    }

    /// The wall that lies most squarely in the lean's way, and how much of the lean a pull towards it takes out, inch per
    /// inch: less than nothing where it has to be drawn away from the wall.
    pub fn against(&self) -> Option<(Label, f64)> {
        let foot = self.foot().xy();
        let lean = Vector2::new(self.lean.toward_x(), self.lean.toward_y());
        let walls = self.rough_in.framed.walls.iter().map(|wall| {
            let (_, out) = wall.measure(foot);
            // As placement reads it: from the room a wall lies against the way into the room, from behind it along it.
            let toward = if out > -0.5 * wall.depth { -wall.into_room } else { wall.into_room };
            (wall.label.clone(), -lean.dot(&toward))
        });
        walls.max_by(|one, other| one.1.abs().total_cmp(&other.1.abs()))
    }

    /// Heights at which a stack is held: each floor's rough surface and each wall's plates, in reach above a joint.
    pub fn holds_above(&self, joint_z: f64) -> Vec<(String, f64)> {
        let framed = &self.rough_in.framed;
        let top = self.top_z();
        let floors = framed.floors.iter().map(|floor| (format!("{} rough", floor.label), floor.rough_z));
        let foot = self.foot().xy();
        let walls = framed.walls.iter().filter(|wall| {
            let (along, out) = wall.measure(foot);
            (0.0..=wall.length).contains(&along) && (-wall.depth..=0.0).contains(&out)
        });
        let plates = walls.map(|wall| (format!("top of {}", wall.label), wall.z1));
        let mut holds: Vec<(String, f64)> =
            floors.chain(plates).filter(|(_, z)| *z > joint_z + 6.0 && *z < top).collect();
        holds.sort_by(|one, other| one.1.total_cmp(&other.1));
        holds
    }
}
