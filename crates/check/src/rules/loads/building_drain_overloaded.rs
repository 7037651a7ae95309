//! Lying pipe at the foot of everything that carries more fixture units than a building drain of its size and grade may.

use super::{against, told};
use crate::ctx::Ctx;
use crate::drain::{Drain, Lie, building_drain_load, drains, too_small_for, worst};
use crate::finding::{Finding, Limit, Verdict};
use crate::load::Load;
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// Lying drain with no stack below it, which ends at existing work that lies too, carries no more drainage fixture units
    /// than the code's table of building drains gives its size at its grade.
    ///
    /// # Why
    ///
    /// Everything in the house passes there; where it runs full the lowest fixture is where it comes up.
    ///
    /// # Source
    ///
    /// The code's table of building drains and sewers.
    ///
    /// # Limits
    ///
    /// It sees the fixtures of the job: what the existing drain carries already is not known. The column of the table is the
    /// steepest that is no steeper than the pipe, in the placement looked at; pipe flatter than every column is `drain-too-flat`'s.
    /// Where the load fits this table but not that of a stack's branches, `drain-overloaded-branch` asks. Groups of
    /// fixtures are taken as there.
    ///
    /// # Example
    ///
    /// 45 units on a 3 in building drain at 1/4 in per ft, which may carry 42: tagged.
    "building-drain-overloaded", Loads, Code,
    "a building drain carries more fixture units than its size may at its grade",
    figures: ["dfu", "branch-load", "building-drain-load-1/8", "building-drain-load-1/4"],
    finds: ["building-drain-load-1/16", "building-drain-load-1/2", "dfu-group", "dfu-baths", "bath-group-reach"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains = drains(ctx);
    let judged = drains.iter().filter(|d| !d.is_arm && too_small_for(ctx, d).is_none());
    out.extend(worst(judged.filter_map(|d| judge(ctx, d))).into_iter().map(|(_, finding)| finding));
}

fn judge<'d>(ctx: &Ctx<'_>, drain: &'d Drain) -> Option<(&'d Drain, f64, Finding)> {
    let Lie::Lying { grade, stack_below: false, may_be_building_drain: true } = drain.lie else {
        return None;
    };
    let figure = building_drain_load(ctx, drain.size, grade)?;
    let load = Load::of(ctx, &drain.fixtures);
    let limit = Limit::AtMost(figure.value);
    let verdict = ctx.verdict(limit.margin(load.units), 0.0)?;
    // Which of the two tables it belongs to is not known: what one of them lets pass is no red tag.
    let as_branch = ctx.profile.for_size("branch-load", drain.size);
    if verdict != Verdict::Pass && as_branch.is_some_and(|f| load.units <= f.value) {
        return None;
    }
    let (size, per_foot) = (drain.size, grade.to_per_foot());
    let what = format!(
        "{} carries {} fixture units, a {size} in building drain at {per_foot:.3} in per ft at most {}",
        ctx.leg_name(drain.leg),
        load.units,
        figure.value
    );
    let finding = told(ctx, RULE.id, verdict, drain, what, figure.source());
    let finding =
        against(ctx, finding, &load, figure.value, &format!("a {size} in building drain at that grade"))
            .help("lay it in the next size from there down, or steeper where the table gives more for it");
    Some((drain, limit.margin(load.units), finding))
}
