//! Level drain that goes on too long without a cleanout.

use crate::arm::leg_down;
use crate::bore::telling::over;
use crate::cleanout::{Cleanout, is_listed};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use std::collections::BTreeSet;
use truefall_model::place::{Landing, PartId};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Going down from every fixture, how far the level drain goes from the fixture or the last cleanout to the next cleanout,
    /// or to where it ends or turns down, against the longest way the code allows.
    ///
    /// # Why
    ///
    /// A cable is so long, and one who feeds it has to feel its end.
    ///
    /// # Source
    ///
    /// The code's spacing of cleanouts on level drains.
    ///
    /// # Limits
    ///
    /// Only the drain of the job is known, not what goes on beyond its base: there the way is counted as ended. A cleanout
    /// listed on a run without a place serves all of it. That a building drain has a cleanout where it meets the sewer is not
    /// looked at, for the job does not say where that is.
    ///
    /// # Example
    ///
    /// A drain of 104 ft across a long house has none on its way: 100 are allowed.
    "cleanout-too-far-apart", Cleanouts, Code,
    "level drain goes on too long without a cleanout",
    figures: ["cleanout-spacing"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let cleanouts: BTreeSet<PartId> = Cleanout::each(ctx).into_iter().map(|c| c.part).collect();
    let mut told = BTreeSet::new();
    for landing in &ctx.placed.landings {
        let (end, longest) = longest(ctx, landing, &cleanouts);
        if told.insert(end) {
            out.extend(judge(ctx, landing, end, longest));
        }
    }
}

/// The longest level way below a fixture without a cleanout, in inches, and the part it ends at.
fn longest(ctx: &Ctx<'_>, landing: &Landing, cleanouts: &BTreeSet<PartId>) -> (PartId, f64) {
    let (mut at, mut since, mut best) = (landing.part, 0.0, (landing.part, 0.0));
    while let Some(leg) = leg_down(ctx.rough_in, at) {
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
        let level = ctx.rough_in.grade(ctx.placed, leg.id).is_some();
        since = if level { since + (high - low).norm() } else { 0.0 };
        if since > best.1 {
            best = (leg.low, since);
        }
        if cleanouts.contains(&leg.low) || is_listed(ctx, &ctx.rough_in.run(leg.run).label) {
            since = 0.0;
        }
        at = leg.low;
    }
    best
}

fn judge(ctx: &Ctx<'_>, landing: &Landing, end: PartId, way: f64) -> Option<Finding> {
    let figure = ctx.profile.figure("cleanout-spacing");
    let limit = Limit::AtMost(figure.value);
    let verdict = ctx.verdict(limit.margin(way), 0.0).filter(|_| way > 0.0)?;
    let (fixture, run) = (ctx.fixture(landing.fixture), ctx.run_of(end));
    let what = format!(
        "the drain of {fixture} goes {} level without a cleanout, at most {}",
        Length::inches(way),
        figure.length()
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([fixture, ctx.label(end), run])
            .at(ctx.placed.origin(end))
            .measured(way, limit, "in")
            .line(format!("along the centre line down to {}: {way:.3} in", ctx.label(end)))
            .line(over(Length::inches(way - figure.value)))
            .help(format!("put a cleanout tee on its way, {} from its end at most", figure.length())),
    )
}
