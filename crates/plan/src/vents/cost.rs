//! What a vent costs: our own points, not money. One point is one joint made.

use super::room::open_length;
use crate::prices::Money;
use truefall_check::facts::Facts;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Job;
use truefall_model::job::pipes::End;
use truefall_model::place::{Placed, RoughIn};
use truefall_model::units::{Length, NominalSize};

/// What each thing counts, in points. A policy of ours: what a plumber would rather not do counts more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// A joint made.
    pub joint: f64,
    /// A foot of 1-1/2 in pipe; other pipe in proportion to its size.
    pub foot: f64,
    /// A hole in wood; twice that where the hole takes the whole depth, in proportion between.
    pub hole: f64,
    /// A plate, strap, hanger or panel.
    pub provided: f64,
    /// A way out through the roof: the hole and its flashing.
    pub roof: f64,
    /// An air admittance valve: bought, and one must get at it for good.
    pub valve: f64,
    /// A foot of pipe in the open room, which wants a chase built round it.
    pub open_foot: f64,
    /// A fitting put in the place of another.
    pub refit: f64,
    /// One whole unit of the user's money, where prices were given.
    pub money: f64,
}

impl Weights {
    /// The weights used unless the caller has others.
    pub fn usual() -> Self {
        Self {
            joint: 1.0,
            foot: 0.25,
            hole: 2.0,
            provided: 0.5,
            roof: 8.0,
            valve: 6.0,
            open_foot: 3.0,
            refit: 2.0,
            money: 0.25,
        }
    }
}

/// What a vent costs, thing by thing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cost {
    /// Joints made, beyond those of the job as it is.
    pub joints: i64,
    /// Pipe, beyond that of the job as it is.
    pub pipe: Length,
    /// The same with each counted by its size: so much pipe of 1-1/2 in.
    pub pipe_share: Length,
    /// Holes in wood, beyond those of the job as it is.
    pub holes: i64,
    /// The same with each counted by how much of its member it takes.
    pub hole_share: f64,
    /// Plates, straps and the like.
    pub provided: i64,
    /// Ways out through the roof.
    pub roofs: i64,
    /// Air admittance valves.
    pub valves: i64,
    /// Pipe in the open room.
    pub open: Length,
    /// Fittings put in the place of others.
    pub refits: i64,
    /// What fittings, pipe by the foot, valves, plates and ties cost by the user's prices; none where he gave none.
    pub money: Option<Money>,
    /// All of it in points.
    pub points: f64,
}

impl Cost {
    /// What a job came to cost over another; `refits` fittings of it were put in the place of others.
    pub(super) fn between(weights: &Weights, was: &Tally, is: &Tally, refits: i64) -> Self {
        let mut cost = Self {
            joints: is.joints - was.joints,
            pipe: is.pipe - was.pipe,
            pipe_share: is.pipe_share - was.pipe_share,
            holes: is.holes - was.holes,
            hole_share: is.hole_share - was.hole_share,
            provided: is.provided - was.provided,
            roofs: is.roofs - was.roofs,
            valves: is.valves - was.valves,
            open: is.open - was.open,
            refits,
            money: None,
            points: 0.0,
        };
        cost.points = cost.joints as f64 * weights.joint
            + cost.pipe_share.to_inches() / 12.0 * weights.foot
            + cost.hole_share * weights.hole
            + cost.provided as f64 * weights.provided
            + cost.roofs as f64 * weights.roof
            + cost.valves as f64 * weights.valve
            + cost.open.to_inches().max(0.0) / 12.0 * weights.open_foot
            + cost.refits as f64 * weights.refit;
        cost
    }

    /// With what it costs in money, which counts in the points.
    pub(super) fn and_money(mut self, weights: &Weights, money: Money) -> Self {
        self.money = Some(money);
        self.points += money.to_hundredths() as f64 / 100.0 * weights.money;
        self
    }

    /// What it costs beyond another that it holds in it.
    pub(super) fn less(&self, other: &Self) -> Self {
        Self {
            joints: self.joints - other.joints,
            pipe: self.pipe - other.pipe,
            pipe_share: self.pipe_share - other.pipe_share,
            holes: self.holes - other.holes,
            hole_share: self.hole_share - other.hole_share,
            provided: self.provided - other.provided,
            roofs: self.roofs - other.roofs,
            valves: self.valves - other.valves,
            open: self.open - other.open,
            refits: self.refits,
            money: self.money.zip(other.money).map(|(own, other)| own - other),
            points: self.points - other.points,
        }
    }
}

/// So much pipe counts as pipe of 1-1/2 in.
pub(super) fn counted(size: NominalSize) -> f64 {
    size.nominal().to_inches() / 1.5
}

/// What is counted of one job.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tally {
    joints: i64,
    pipe: Length,
    pipe_share: Length,
    holes: i64,
    hole_share: f64,
    provided: i64,
    roofs: i64,
    valves: i64,
    open: Length,
}

impl Tally {
    /// Counts a placed job; `facts` were measured in `placed`.
    pub fn of(job: &Job, rough_in: &RoughIn, placed: &Placed, facts: &Facts) -> Self {
        let passages = facts.passages();
        let share = |bore: &&truefall_check::bore::Bore| {
            let taken = bore.cut.taken().to_inches() / bore.cut.member_depth.to_inches();
            1.0 + taken.clamp(0.0, 1.0)
        };
        let ends = || job.stacks.iter().map(|s| &s.end).chain(job.branches.iter().map(|b| &b.end));
        let cuts = || rough_in.parts.iter().filter_map(|p| Some((p.size(), p.cut()?)));
        Self {
            joints: rough_in.joints.len() as i64,
            pipe: cuts().map(|c| c.1).sum(),
            pipe_share: cuts().map(|(size, cut)| cut * counted(size)).sum(),
            holes: passages.len() as i64,
            hole_share: passages.iter().map(share).sum(),
            provided: job.provided.iter().filter(|p| !matches!(p, Provided::Hanger { .. })).count() as i64,
            roofs: ends().filter(|e| matches!(e, End::Roof { .. })).count() as i64,
            valves: ends().filter(|e| matches!(e, End::Valve {})).count() as i64,
            open: open_length(rough_in, placed),
        }
    }
}
