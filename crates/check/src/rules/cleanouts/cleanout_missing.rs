//! A turn of a drain that no cleanout serves.

use crate::arm::{arms, leg_down};
use crate::cleanout::{Cleanout, is_listed, lets_in};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use std::collections::BTreeSet;
use truefall_model::place::{Landing, Leg, PartId};
use truefall_model::tolerance::SLACK;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Going down from every fixture, each turn of a level drain that is greater than the code lets pass is served by a cleanout
    /// before it: a cleanout tee, a plugged port, one the job lists, a closet that can be lifted or a trap that can be taken
    /// off. Where the code counts turns together, they are added up from one cleanout to the next.
    ///
    /// # Why
    ///
    /// A cable does not go round many bends, and once the wall is closed the only other way in is through it.
    ///
    /// # Source
    ///
    /// The code's rule on cleanouts at changes of direction.
    ///
    /// # Limits
    ///
    /// A turn is a bend between two level lengths of one run; entering another run by a wye is none. Trap arms are left
    /// out: the removable trap serves them, and a code's own limit of bends on an arm is another matter. The
    /// upper end of a drain is `cleanout-missing-at-end`'s, the length between two `cleanout-too-far-apart`'s. At the junction
    /// with the sewer, which the job does not know, and at the foot of a stack, where the codes held here have dropped it
    /// or never asked for it, none is looked for.
    ///
    /// # Example
    ///
    /// A tub's drain is vented at a wye and then turns 90 degrees under the floor: a tub's trap can't be taken off, so the
    /// turn needs a cleanout.
    "cleanout-missing", Cleanouts, Code,
    "a turn of a drain has no cleanout",
    figures: ["cleanout-turn"],
    finds: ["cleanout-turn-reach"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let cleanouts: BTreeSet<PartId> = Cleanout::each(ctx).into_iter().map(|c| c.part).collect();
    let ways = ctx.placed.landings.iter().flat_map(|landing| down(ctx, landing, &cleanouts));
    let (passes, found): (Vec<_>, Vec<_>) = ways.partition(|(_, f)| f.verdict == Verdict::Pass);
    let mut told = BTreeSet::new();
    // A turn that is unserved on one way down is no pass on another.
    out.extend(found.into_iter().chain(passes).filter(|(part, _)| told.insert(*part)).map(|(_, f)| f));
}

/// What is behind one on the way down.
struct Behind {
    /// A cleanout was passed.
    served: bool,
    /// Inches since it.
    since: f64,
    /// Degrees turned since it.
    turned: f64,
    sum: Vec<String>,
}

fn down(ctx: &Ctx<'_>, landing: &Landing, cleanouts: &BTreeSet<PartId>) -> Vec<(PartId, Finding)> {
    let fixture = &ctx.job.fixtures[landing.fixture];
    let in_arm = arm_of(ctx, landing.fixture);
    let turn_limit = ctx.profile.figure("cleanout-turn");
    let reach = ctx.profile.find("cleanout-turn-reach");
    let mut behind = Behind { served: lets_in(fixture), since: 0.0, turned: 0.0, sum: Vec::new() };
    let mut found = Vec::new();
    let mut above: Option<&Leg> = None;
    let mut at = landing.part;
    while let Some(leg) = leg_down(ctx.rough_in, at) {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let fitting = if leg.high == Some(at) { at } else { leg.low };
        if let Some(turn) = turn_at(ctx, at, above, leg).filter(|_| !in_arm.contains(&fitting)) {
            behind.turned += turn;
            behind.sum.push(format!("{} turns {turn} degrees", ctx.label(at)));
            let measured = if reach.is_some() { turn } else { behind.turned };
            let too_far = reach.is_some_and(|r| behind.since > r.value + SLACK);
            let over = Limit::AtMost(turn_limit.value).margin(measured) < -SLACK;
            let unserved = if reach.is_some() { !behind.served || too_far } else { true };
            if over && unserved {
                found.push((at, told(ctx, landing, at, measured, &behind, Verdict::RedTag)));
            } else if ctx.passes && !over {
                found.push((at, told(ctx, landing, at, measured, &behind, Verdict::Pass)));
            }
        }
        if cleanouts.contains(&leg.low) || is_listed(ctx, &ctx.rough_in.run(leg.run).label) {
            behind = Behind { served: true, since: 0.0, turned: 0.0, sum: Vec::new() };
        } else {
            behind.since += (high - low).norm();
        }
        above = Some(leg);
        at = leg.low;
    }
    found
}

/// The fittings between a fixture's trap and its vent, the vent's own left out.
fn arm_of(ctx: &Ctx<'_>, fixture: usize) -> BTreeSet<PartId> {
    let arm = arms(ctx).into_iter().find(|arm| arm.fixture == fixture);
    let Some(arm) = arm else { return BTreeSet::new() };
    let vent = arm.vent.as_ref().map(|v| v.fitting);
    arm.steps.iter().map(|s| s.to).filter(|to| Some(*to) != vent).chain([arm.trap]).collect()
}

/// How far a bend between two level lengths of one run turns the way, in degrees.
fn turn_at(ctx: &Ctx<'_>, part: PartId, above: Option<&Leg>, below: &Leg) -> Option<f64> {
    let above = above.filter(|above| above.run == below.run)?;
    let level = |leg: &Leg| ctx.rough_in.grade(ctx.placed, leg.id).is_some();
    let bend = ctx.rough_in.part(part).pattern()?.family.bend()?;
    (level(above) && level(below)).then_some(bend.to_degrees())
}

fn told(
    ctx: &Ctx<'_>,
    landing: &Landing,
    part: PartId,
    turned: f64,
    behind: &Behind,
    verdict: Verdict,
) -> Finding {
    let fixture = &ctx.job.fixtures[landing.fixture].name;
    let figure = ctx.profile.figure("cleanout-turn");
    let run = &ctx.rough_in.run(ctx.rough_in.part(part).run).label;
    let way = if behind.served { "since the last cleanout" } else { "and no cleanout lies before it" };
    let what = format!(
        "{run} turns {turned} degrees at {} {way}, at most {} without one",
        ctx.label(part),
        figure.value
    );
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([run, ctx.label(part)])
        .at(ctx.placed.origin(part))
        .measured(turned, Limit::AtMost(figure.value), "deg")
        .line(format!("coming down from {fixture}"))
        .lines(behind.sum.iter().cloned());
    if let Some(reach) = ctx.profile.find("cleanout-turn-reach").filter(|_| behind.served) {
        finding = finding.line(format!(
            "the last cleanout is {} up the drain and serves {}",
            Length::inches(behind.since),
            reach.length()
        ));
    }
    finding.help(format!("put a cleanout at {} or above it, or make the turn of two bends", ctx.label(part)))
}
