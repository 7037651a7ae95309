//! Drains: the legs that carry waste, what each carries and how it lies.

use crate::arm::arms;
use crate::code::Figure;
use crate::ctx::Ctx;
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{Leg, LegId, PartId, RunId, RunKind};
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Grade, NominalSize};

/// How a drain lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lie {
    /// Steeper than 45 degrees.
    Standing,
    /// Lying, at this grade.
    Lying {
        /// Its grade; below zero where it falls backwards.
        grade: Grade,
        /// Waste stands somewhere on its way down: it is a branch of a stack, or a stack's offset.
        stack_below: bool,
        /// It may be the building drain or a branch of it: the work it ends at lies too, or it is an offset of a stack.
        may_be_building_drain: bool,
    },
}

/// One leg that carries waste.
#[derive(Debug, Clone)]
pub struct Drain {
    /// The leg.
    pub leg: LegId,
    /// The stack or branch it is of.
    pub run: RunId,
    /// Nominal size.
    pub size: NominalSize,
    /// How it lies.
    pub lie: Lie,
    /// The fixtures it carries, by index in the job, the most remote first.
    pub fixtures: Vec<usize>,
    /// It is a trap arm: it lies between the trap of its one fixture and that trap's vent.
    pub is_arm: bool,
}

impl Drain {
    /// Whether it stands.
    pub fn stands(&self) -> bool {
        self.lie == Lie::Standing
    }

    /// How many fixtures of a kind it carries.
    pub fn count(&self, ctx: &Ctx<'_>, kind: FixtureKind) -> usize {
        self.fixtures.iter().filter(|f| ctx.job.fixtures[**f].kind == kind).count()
    }
}

/// All drains, by leg. What does not lead down from a fixture is no drain.
pub fn drains<'a>(ctx: &Ctx<'a>) -> &'a [Drain] {
    ctx.vents.drains.get_or_init(|| all(ctx))
}

fn all(ctx: &Ctx<'_>) -> Vec<Drain> {
    let carried = carried(ctx);
    let below = legs_below(ctx);
    let in_arms = legs_of_arms(ctx, &below);
    let rough_in = ctx.rough_in;
    rough_in
        .legs
        .iter()
        .filter_map(|leg| {
            let fixtures = carried[upper(leg)?.0 as usize].clone();
            let is_arm = fixtures.len() == 1 && in_arms.contains(&leg.id);
            (!fixtures.is_empty()).then(|| Drain {
                leg: leg.id,
                run: leg.run,
                size: leg.size,
                lie: lie(ctx, &below, leg),
                fixtures,
                is_arm,
            })
        })
        .collect()
}

/// Of what was judged of several drains, what speaks for a pipe: of each run's drains of one size that lie alike the one
/// with the least margin, nearest the base if several have it.
pub fn worst<'d, T>(judged: impl IntoIterator<Item = (&'d Drain, f64, T)>) -> Vec<(&'d Drain, T)> {
    let mut chosen: Vec<(&Drain, f64, T)> = Vec::new();
    for (drain, margin, what) in judged {
        let alike = |c: &&mut (&Drain, f64, T)| {
            c.0.run == drain.run && c.0.size == drain.size && c.0.stands() == drain.stands()
        };
        match chosen.iter_mut().find(alike) {
            Some(chosen) if chosen.1 <= margin => {}
            Some(chosen) => *chosen = (drain, margin, what),
            None => chosen.push((drain, margin, what)),
        }
    }
    chosen.into_iter().map(|(drain, _, what)| (drain, what)).collect()
}

/// A fixture that this drain is too small for by itself, whatever else it carries, with the least size; a trap arm is
/// sized by its trap.
pub fn too_small_for<'c>(ctx: &Ctx<'c>, drain: &Drain) -> Option<(usize, &'c Figure)> {
    let least = |fixture: usize| {
        ctx.profile
            .find(&format!("drain-min.{}", ctx.job.fixtures[fixture].kind.word()))
            .map(|f| (fixture, f))
    };
    let small = |(_, least): &(usize, &Figure)| drain.size.nominal().to_inches() < least.value - SLACK;
    let mut of_all = drain.fixtures.iter().filter_map(|f| least(*f)).filter(small);
    if drain.is_arm { None } else { of_all.next() }
}

/// The fixture whose least size is the largest of those a drain carries, with that size; none for a trap arm.
pub fn largest_least<'c>(ctx: &Ctx<'c>, drain: &Drain) -> Option<(usize, &'c Figure)> {
    let least = |f: &usize| {
        let kind = ctx.job.fixtures[*f].kind.word();
        ctx.profile.find(&format!("drain-min.{kind}")).map(|figure| (*f, figure))
    };
    let of_all = drain.fixtures.iter().filter_map(least);
    let largest = of_all.max_by(|a, b| a.1.value.total_cmp(&b.1.value).then(b.0.cmp(&a.0)));
    largest.filter(|_| !drain.is_arm)
}

/// By part: the fixtures whose waste passes through it, the most remote first.
pub fn carried<'a>(ctx: &Ctx<'a>) -> &'a [Vec<usize>] {
    ctx.vents.carried.get_or_init(|| passing(ctx))
}

fn passing(ctx: &Ctx<'_>) -> Vec<Vec<usize>> {
    let rough_in = ctx.rough_in;
    let mut carried: Vec<Vec<(usize, usize)>> = vec![Vec::new(); rough_in.parts.len()];
    for run in &rough_in.runs {
        let (Some(fixture), Some(last)) = (run.fixture, run.last_piece.or(run.fits.last().map(|f| f.1)))
        else {
            continue;
        };
        let way = std::iter::successors(Some(last), |part| rough_in.network.below(*part));
        for (distance, part) in way.enumerate() {
            carried[part.0 as usize].push((distance, fixture));
        }
    }
    carried
        .into_iter()
        .map(|mut fixtures| {
            fixtures.sort_by_key(|(distance, fixture)| (std::cmp::Reverse(*distance), *fixture));
            fixtures.into_iter().map(|(_, fixture)| fixture).collect()
        })
        .collect()
}

/// The part of a leg that is away from the base.
pub fn upper(leg: &Leg) -> Option<PartId> {
    leg.piece.or(leg.high)
}

fn lie(ctx: &Ctx<'_>, below: &[Option<LegId>], leg: &Leg) -> Lie {
    let rough_in = ctx.rough_in;
    let grade = |leg: &Leg| rough_in.grade(ctx.placed, leg.id);
    let Some(lies_at) = grade(leg) else { return Lie::Standing };
    let mut stack_below = false;
    let mut last = leg;
    while let Some(next) = below[last.low.0 as usize].map(|leg| rough_in.leg(leg)) {
        stack_below |= grade(next).is_none();
        last = next;
    }
    let is_offset = matches!(rough_in.run(leg.run).kind, RunKind::Stack { .. })
        && stack_below
        && rough_in
            .legs
            .iter()
            .any(|l| l.run == leg.run && l.id > leg.id && grade(l).is_none() && carries(ctx, l));
    Lie::Lying { grade: lies_at, stack_below, may_be_building_drain: grade(last).is_some() || is_offset }
}

/// By part: the leg by which it hangs on the rest, as [`crate::arm::leg_down`] tells it of one.
fn legs_below(ctx: &Ctx<'_>) -> Vec<Option<LegId>> {
    let rough_in = ctx.rough_in;
    let mut below = vec![None; rough_in.parts.len()];
    for leg in &rough_in.legs {
        if let Some(piece) = leg.piece {
            below[piece.0 as usize] = Some(leg.id);
        }
        // The fitting a closing piece meets hangs on something else.
        let hangs = |high: &PartId| rough_in.network.below(*high) == Some(leg.piece.unwrap_or(leg.low));
        if let Some(high) = leg.high.filter(hangs) {
            below[high.0 as usize] = Some(leg.id);
        }
    }
    below
}

fn carries(ctx: &Ctx<'_>, leg: &Leg) -> bool {
    upper(leg).is_some_and(|part| ctx.is_wet(part))
}

fn legs_of_arms(ctx: &Ctx<'_>, below: &[Option<LegId>]) -> BTreeSet<LegId> {
    let rough_in = ctx.rough_in;
    let mut legs = BTreeSet::new();
    for arm in arms(ctx) {
        let Some(vent) = &arm.vent else { continue };
        let mut at = arm.trap;
        while let Some(leg) = below[at.0 as usize].map(|leg| rough_in.leg(leg)) {
            legs.insert(leg.id);
            if leg.low == vent.fitting {
                break;
            }
            at = leg.low;
        }
    }
    legs
}

/// The columns of the table of building drains, flattest first, with the grade each is for.
const COLUMNS: [(&str, f64); 4] = [
    ("building-drain-load-1/16", 0.0625),
    ("building-drain-load-1/8", 0.125),
    ("building-drain-load-1/4", 0.25),
    ("building-drain-load-1/2", 0.5),
];

/// What a building drain of this size may carry at this grade: the steepest column of the table that is no steeper than
/// the pipe; none where it lies flatter than every column or the table has no such size.
pub fn building_drain_load<'c>(ctx: &Ctx<'c>, size: NominalSize, grade: Grade) -> Option<&'c Figure> {
    COLUMNS
        .iter()
        .rev()
        .filter(|(_, per_foot)| grade.to_per_foot() >= per_foot - SLACK)
        .find_map(|(key, _)| ctx.profile.for_size(key, size))
}
