//! A level drain with no cleanout at its upper end.

use crate::arm::{arms, leg_down};
use crate::bore::telling::over;
use crate::cleanout::{Cleanout, is_listed, lets_in};
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::drain::carried;
use crate::finding::{Finding, Limit, Verdict};
use crate::load::names;
use crate::rule::rule;
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{Landing, PartId};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where the code asks for a cleanout at the upper end of each level drain: below a fixture's arm, or at the foot of a riser, a
    /// drain that is longer than the code excuses, or serves a kitchen sink, has one where it begins.
    ///
    /// # Why
    ///
    /// A cable goes down a drain, not up: what stops up above the first cleanout stays stopped up.
    ///
    /// # Source
    ///
    /// The code's section where it has one; the other codes ask for cleanouts at turns and by length only.
    ///
    /// # Limits
    ///
    /// A drain above the lowest floor of the job is excused but for that of a kitchen sink. Whether a closet that can be
    /// lifted, or a trap that can be taken off, serves as the cleanout is a question for the official. The arm is no drain
    /// here: it ends at its vent, and without a vent nothing is looked at. Where a drain that is vented farther up comes in at
    /// that vent, as on a wet vent, the arm joins a drain that began elsewhere. A drain that begins at the foot of a riser is served by
    /// a cleanout anywhere in the riser below a fixture's trap. A two-way cleanout at the sewer, which may stand for
    /// it, is not known.
    ///
    /// # Example
    ///
    /// A tub's drain runs 8 ft under the first floor from its vent to the building drain: a cleanout belongs at the vent's wye.
    "cleanout-missing-at-end", Cleanouts, Code,
    "a level drain has no cleanout at its upper end",
    figures: [],
    finds: ["cleanout-end-from"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("cleanout-end-from") else { return };
    let cleanouts: BTreeSet<PartId> = Cleanout::each(ctx).into_iter().map(|c| c.part).collect();
    let lowest = ctx.rough_in.framed.floors.iter().map(|f| f.rough_z).min_by(f64::total_cmp);
    for arm in arms(ctx) {
        let Some(vent) = &arm.vent else { continue };
        let landing = ctx.placed.landings.iter().find(|l| l.fixture == arm.fixture);
        let Some(landing) = landing else { continue };
        let kitchen = ctx.job.fixtures[arm.fixture].kind == FixtureKind::KitchenSink;
        let above = lowest.is_some_and(|z| ctx.placed.origin(vent.fitting).z > z);
        let served = served(ctx, landing, vent.fitting, &cleanouts);
        // Where another drain comes in at the vent's fitting, or it has gone down, this drain does not begin there.
        let (end, long) = level_from(ctx, vent.fitting);
        if served || begins_above(ctx, vent.fitting) || (above && !kitchen) || long <= 0.0 {
            continue;
        }
        let limit = Limit::AtMost(if kitchen { 0.0 } else { figure.value });
        let verdict = match limit.allows(long) {
            true => ctx.passes.then_some(Verdict::Pass),
            false if lets_in(&ctx.job.fixtures[arm.fixture]) => Some(Verdict::Ask),
            false => Some(Verdict::RedTag),
        };
        let Some(verdict) = verdict else { continue };
        let (name, run) = (ctx.fixture(arm.fixture), ctx.run_of(vent.fitting));
        let what = format!(
            "the drain of {name} goes {} level from {} and has no cleanout at its upper end{}",
            Length::inches(long),
            ctx.label(vent.fitting),
            if verdict == Verdict::Ask { "; whether its trap serves as one the official says" } else { "" }
        );
        out.push(
            Bare { from: vent.fitting, end, long, limit, kitchen }
                .finding(ctx, verdict, what, figure)
                .on([name, ctx.label(vent.fitting), run])
                .help(format!("put a cleanout at {} or above it", ctx.label(vent.fitting))),
        );
    }
    let feet: BTreeSet<PartId> = ctx.placed.landings.iter().flat_map(|l| feet(ctx, l)).collect();
    out.extend(feet.into_iter().filter_map(|foot| at_foot(ctx, foot, figure, &cleanouts, lowest)));
}

/// The fittings on the way down from a fixture where a standing length ends and a level one begins.
fn feet(ctx: &Ctx<'_>, landing: &Landing) -> Vec<PartId> {
    let mut feet = Vec::new();
    let (mut at, mut stood) = (landing.part, false);
    while let Some(leg) = leg_down(ctx.rough_in, at) {
        let level = ctx.rough_in.grade(ctx.placed, leg.id).is_some();
        if level && stood {
            feet.push(at);
        }
        stood = !level;
        at = leg.low;
    }
    feet
}

/// A level drain that begins at the foot of a riser, held to the same.
fn at_foot(
    ctx: &Ctx<'_>,
    foot: PartId,
    figure: &Figure,
    cleanouts: &BTreeSet<PartId>,
    lowest: Option<f64>,
) -> Option<Finding> {
    let carried = &carried(ctx)[foot.0 as usize];
    let landing = |f: &usize| ctx.placed.landings.iter().find(|l| l.fixture == *f);
    // What is no riser below a vent is a trap arm that drops, or a closet's own bend.
    let vented_above = |f: &usize| {
        let vent = arms(ctx).iter().find(|arm| arm.fixture == *f).and_then(|arm| arm.vent.as_ref());
        let mut way = vent
            .into_iter()
            .flat_map(|v| std::iter::successors(Some(v.fitting), |p| ctx.rough_in.network.below(*p)));
        way.any(|p| p == foot)
    };
    // Waste that comes in level has its own drain above, which begins elsewhere.
    let by_riser = |f: &usize| landing(f).is_some_and(|l| feet(ctx, l).contains(&foot));
    if !carried.iter().all(by_riser) || !carried.iter().any(vented_above) {
        return None;
    }
    let kitchen = carried.iter().any(|f| ctx.job.fixtures[*f].kind == FixtureKind::KitchenSink);
    let above = lowest.is_some_and(|z| ctx.placed.origin(foot).z > z);
    let is_served = |f: &usize| landing(f).is_some_and(|l| served(ctx, l, foot, cleanouts));
    let (end, long) = level_from(ctx, foot);
    if (above && !kitchen) || carried.iter().any(is_served) {
        return None;
    }
    let limit = Limit::AtMost(if kitchen { 0.0 } else { figure.value });
    let by_trap = carried.iter().any(|f| lets_in(&ctx.job.fixtures[*f]));
    let verdict = match limit.allows(long) {
        true if ctx.passes => Verdict::Pass,
        true => return None,
        false if by_trap => Verdict::Ask,
        false => Verdict::RedTag,
    };
    let what = format!(
        "the drain of {} goes {} level from the foot {} of a riser and has no cleanout at its upper end{}",
        names(ctx, carried),
        Length::inches(long),
        ctx.label(foot),
        if verdict == Verdict::Ask {
            "; whether a trap or closet above serves as one the official says"
        } else {
            ""
        }
    );
    Some(
        Bare { from: foot, end, long, limit, kitchen }
            .finding(ctx, verdict, what, figure)
            .on([ctx.label(foot), ctx.run_of(foot)])
            .help(format!("put a cleanout tee in the riser over {}, or a cleanout at it", ctx.label(foot))),
    )
}

/// A lying drain with no cleanout at its upper end, lengths in inches.
struct Bare {
    /// Its upper end.
    from: PartId,
    /// Where it ends.
    end: PartId,
    /// Its level length.
    long: f64,
    /// The most that is excused.
    limit: Limit,
    /// Whether a kitchen sink drains by it.
    kitchen: bool,
}

impl Bare {
    /// What is told of it, at its upper end, with its sum.
    fn finding(&self, ctx: &Ctx<'_>, verdict: Verdict, what: String, figure: &Figure) -> Finding {
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .at(ctx.placed.origin(self.from))
            .measured(self.long, self.limit, "in")
            .line(format!("level from there to {}: {:.3} in", ctx.label(self.end), self.long))
            .line(if self.kitchen {
                "of a kitchen sink no length is excused".to_owned()
            } else {
                over(Length::inches(self.long - figure.value))
            })
    }
}

/// Whether another drain, vented farther up, comes down to a fitting: the drain goes on from there and does not begin.
fn begins_above(ctx: &Ctx<'_>, fitting: PartId) -> bool {
    let above = ctx.rough_in.network.subtree(fitting);
    let vents = arms(ctx).iter().filter_map(|arm| arm.vent.as_ref());
    vents.filter(|vent| vent.fitting != fitting).any(|vent| above.contains(&vent.fitting))
}

/// Whether a cleanout lies between a fixture and the fitting of its vent, that among them.
fn served(ctx: &Ctx<'_>, landing: &Landing, vent: PartId, cleanouts: &BTreeSet<PartId>) -> bool {
    let way = std::iter::successors(Some(landing.part), |part| ctx.rough_in.network.below(*part));
    let mut way = way.take_while(|part| ctx.rough_in.network.below(vent) != Some(*part));
    way.any(|part| cleanouts.contains(&part) || is_listed(ctx, ctx.run_of(part)))
}

/// How far the drain goes on level below a fitting, in inches, and where that ends.
fn level_from(ctx: &Ctx<'_>, from: PartId) -> (PartId, f64) {
    let (mut at, mut long) = (from, 0.0);
    while let Some(leg) = leg_down(ctx.rough_in, at) {
        if ctx.rough_in.grade(ctx.placed, leg.id).is_none() {
            break;
        }
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        long += (high - low).norm();
        at = leg.low;
    }
    (at, long)
}
