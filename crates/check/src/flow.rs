//! Flow: how waste passes through a fitting, from each side it comes in by to the side towards the base.

use crate::ctx::Ctx;
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::place::PartId;
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Angle, NominalSize};

/// Waste passing through one fitting from one side.
#[derive(Debug, Clone, Copy)]
pub struct Passage {
    /// The fitting.
    pub fitting: PartId,
    /// The part it comes from.
    pub from: PartId,
    /// The port it comes in by.
    pub enter: usize,
    /// The port it leaves by, towards the base.
    pub leave: usize,
    /// Nominal size of the port it comes in by.
    pub size: NominalSize,
    /// Unit vector of its travel as it comes in.
    pub travel_in: Vector3<f64>,
    /// Unit vector of its travel as it leaves.
    pub travel_out: Vector3<f64>,
}

/// How a passage changes the direction of flow, in the three ways the codes' tables know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// From level to down.
    LevelToDown,
    /// From down to level.
    DownToLevel,
    /// From level to level.
    LevelToLevel,
}

impl Turn {
    /// Its word in the keys of a profile.
    pub fn key(self) -> &'static str {
        match self {
            Self::LevelToDown => "level-to-down",
            Self::DownToLevel => "down-to-level",
            Self::LevelToLevel => "level-to-level",
        }
    }

    /// As it is said.
    pub fn words(self) -> &'static str {
        match self {
            Self::LevelToDown => "from level to down",
            Self::DownToLevel => "from down to level",
            Self::LevelToLevel => "from level to level",
        }
    }
}

impl Passage {
    /// How far it turns the flow.
    pub fn angle(&self) -> Angle {
        Angle::radians(self.travel_in.angle(&self.travel_out))
    }

    /// Which way it turns the flow; none where it goes straight, stays plumb, or goes up.
    pub fn turn(&self, ctx: &Ctx<'_>) -> Option<Turn> {
        if self.angle().to_degrees() < 1e-3 {
            return None;
        }
        match (is_down(ctx, self.travel_in)?, is_down(ctx, self.travel_out)?) {
            (false, true) => Some(Turn::LevelToDown),
            (true, false) => Some(Turn::DownToLevel),
            (false, false) => Some(Turn::LevelToLevel),
            (true, true) => None,
        }
    }
}

/// Whether a direction of travel counts as down; false for level, none for what goes up as steeply.
pub fn is_down(ctx: &Ctx<'_>, travel: Vector3<f64>) -> Option<bool> {
    let within = ctx.profile.figure("vertical-within").value + SLACK;
    let off = travel.angle(&-Vector3::z()).to_degrees();
    (off < 180.0 - within).then_some(off <= within)
}

/// All passages of waste through fittings, by fitting.
pub fn passages(ctx: &Ctx<'_>) -> Vec<Passage> {
    ctx.rough_in.parts.iter().flat_map(|part| passages_of(ctx, part.id)).collect()
}

/// The passages of waste through one fitting.
pub fn passages_of(ctx: &Ctx<'_>, fitting: PartId) -> Vec<Passage> {
    let rough_in = ctx.rough_in;
    let part = rough_in.part(fitting);
    let Some(down) = rough_in.network.down[fitting.0 as usize] else { return Vec::new() };
    if part.pattern().is_none() || !ctx.is_wet(fitting) {
        return Vec::new();
    }
    let leave = rough_in.joint(down).high.1;
    rough_in
        .network
        .above(fitting)
        .filter(|(_, above)| ctx.is_wet(*above))
        .map(|(joint, from)| {
            let enter = rough_in.joint(joint).low.1;
            Passage {
                fitting,
                from,
                enter,
                leave,
                size: part.ports()[enter].size,
                travel_in: -ctx.placed.axis(rough_in, fitting, enter),
                travel_out: ctx.placed.axis(rough_in, fitting, leave),
            }
        })
        .collect()
}

/// The fixtures whose waste passes through a part, by their index in the job.
pub fn fixtures_through(ctx: &Ctx<'_>, part: PartId) -> Vec<usize> {
    let rough_in = ctx.rough_in;
    let reaches =
        |from: PartId| std::iter::successors(Some(from), |p| rough_in.network.below(*p)).any(|p| p == part);
    rough_in
        .runs
        .iter()
        .filter_map(|run| {
            let last = run.last_piece.or_else(|| run.fits.last().map(|f| f.1))?;
            run.fixture.filter(|_| reaches(last))
        })
        .collect()
}

/// The next fitting on a way down from a part, pieces passed over; none at the base.
pub fn next_fitting(ctx: &Ctx<'_>, from: PartId) -> Option<PartId> {
    std::iter::successors(ctx.rough_in.network.below(from), |p| ctx.rough_in.network.below(*p))
        .find(|p| ctx.rough_in.part(*p).pattern().is_some())
}

/// The family of a part, if it is a fitting.
pub fn family(ctx: &Ctx<'_>, part: PartId) -> Option<Family> {
    ctx.rough_in.part(part).pattern().map(|p| p.family)
}
