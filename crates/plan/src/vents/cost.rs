//! What a vent costs: our own points, not money. One point is one joint made.

use super::room::open_length;
use truefall_check::facts::Facts;
use truefall_model::catalog::Catalog;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Job;
use truefall_model::job::pipes::End;
use truefall_model::place::RoughIn;
use truefall_model::units::Length;

/// What each thing counts, in points. A policy of ours: what a plumber would rather not do counts more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// A joint made.
    pub joint: f64,
    /// A foot of pipe.
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
    /// A fitting taken out of pipe that stands and another put in its place.
    pub refit: f64,
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
    /// All of it in points.
    pub points: f64,
}

impl Cost {
    /// What a job came to cost over another; `refits` fittings of it were put in the place of others.
    pub fn between(
        weights: &Weights,
        catalog: &Catalog,
        before: (&Job, &RoughIn),
        after: (&Job, &RoughIn),
        refits: i64,
    ) -> Self {
        let [was, is] = [Tally::of(catalog, before), Tally::of(catalog, after)];
        let provided = after.0.provided.iter().filter(|p| !matches!(p, Provided::Hanger { .. })).count()
            as i64
            - before.0.provided.iter().filter(|p| !matches!(p, Provided::Hanger { .. })).count() as i64;
        let mut cost = Self {
            joints: is.joints - was.joints,
            pipe: is.pipe - was.pipe,
            holes: is.holes - was.holes,
            hole_share: is.hole_share - was.hole_share,
            provided,
            roofs: is.roofs - was.roofs,
            valves: is.valves - was.valves,
            open: is.open - was.open,
            refits,
            points: 0.0,
        };
        cost.points = cost.joints as f64 * weights.joint
            + cost.pipe.to_inches() / 12.0 * weights.foot
            + cost.hole_share * weights.hole
            + cost.provided as f64 * weights.provided
            + cost.roofs as f64 * weights.roof
            + cost.valves as f64 * weights.valve
            + cost.open.to_inches().max(0.0) / 12.0 * weights.open_foot
            + cost.refits as f64 * weights.refit;
        cost
    }
}

struct Tally {
    joints: i64,
    pipe: Length,
    holes: i64,
    hole_share: f64,
    roofs: i64,
    valves: i64,
    open: Length,
}

impl Tally {
    fn of(catalog: &Catalog, (job, rough_in): (&Job, &RoughIn)) -> Self {
        let placed = rough_in.placed(job.cut_on);
        let facts = Facts::of(job, rough_in, catalog, placed);
        let passages = facts.passages();
        let share = |bore: &&truefall_check::bore::Bore| {
            let taken = bore.cut.taken().to_inches() / bore.cut.member_depth.to_inches();
            1.0 + taken.clamp(0.0, 1.0)
        };
        let ends = || job.stacks.iter().map(|s| &s.end).chain(job.branches.iter().map(|b| &b.end));
        Self {
            joints: rough_in.joints.len() as i64,
            pipe: rough_in.parts.iter().filter_map(|p| p.cut()).sum(),
            holes: passages.len() as i64,
            hole_share: passages.iter().map(share).sum(),
            roofs: ends().filter(|e| matches!(e, End::Roof { .. })).count() as i64,
            valves: ends().filter(|e| matches!(e, End::Valve {})).count() as i64,
            open: open_length(rough_in, placed),
        }
    }
}
