//! A lying branch that carries more fixture units than its size may.

use super::{against, told};
use crate::ctx::Ctx;
use crate::cure::size::larger;
use crate::drain::{Drain, Lie, building_drain_load, drains, too_small_for, worst};
use crate::finding::{Finding, Limit, Verdict};
use crate::load::Load;
use crate::rule::rule;
use crate::source::Source;
use truefall_model::units::{Grade, NominalSize};

rule! {
    /// # What it checks
    ///
    /// Each lying leg of drain carries no more drainage fixture units than the code's table of horizontal branches gives its
    /// size. The units are summed from the most remote fixture down, leg by leg; bath groups, and where the code has them
    /// several baths that have joined, are counted as such.
    ///
    /// # Why
    ///
    /// A branch that runs full has no air over the water: it siphons the traps on it and backs up into the lowest fixture.
    ///
    /// # Source
    ///
    /// The code's tables of fixture units and of branch sizes.
    ///
    /// # Limits
    ///
    /// It sees the fixtures of the job: what an existing pipe brings is not known. A trap arm is sized by its trap and not
    /// summed, nor is a single fixture's drain in a size the table leaves out. Fixtures are a group where they stand on one
    /// floor within the profile's reach of their closet; that they share a room is not seen. Showers are taken up to 5.7 gal a
    /// minute, closets flush what the job says. Where the pipe may as well be the building drain or a branch of it, and that
    /// table would let it carry the load, the official decides: a question. What the other table would not let it
    /// carry either, where no stack is below, is `building-drain-overloaded`'s; pipe that is too small for one of its
    /// fixtures by itself is `drain-too-small-for-fixture`'s. Of one run and size the worst leg is told; where it carries parts of
    /// baths, that may be more than farther down, where the baths are whole.
    ///
    /// # Example
    ///
    /// Three laundry tubs on a 1-1/2 in branch are 6 units; it may carry 3: tagged.
    "drain-overloaded-branch", Loads, Code,
    "a lying branch carries more fixture units than its size may",
    figures: ["dfu", "branch-load"],
    finds: ["dfu-group", "dfu-baths", "bath-group-reach"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains = drains(ctx);
    let lying = drains.iter().filter(|d| !d.is_arm && too_small_for(ctx, d).is_none());
    out.extend(worst(lying.filter_map(|d| judge(ctx, d))).into_iter().map(|(_, finding)| finding));
}

fn judge<'d>(ctx: &Ctx<'_>, drain: &'d Drain) -> Option<(&'d Drain, f64, Finding)> {
    let Lie::Lying { grade, stack_below, may_be_building_drain } = drain.lie else { return None };
    let size = drain.size;
    let load = Load::of(ctx, &drain.fixtures);
    let as_building_drain = may_be_building_drain.then(|| building_drain_load(ctx, size, grade)).flatten();
    let Some(figure) = ctx.profile.for_size("branch-load", size) else {
        return match as_building_drain {
            Some(drain_load) if load.units > drain_load.value => None,
            _ => not_in_the_table(ctx, drain, &load),
        };
    };
    let limit = Limit::AtMost(figure.value);
    let verdict = ctx.verdict(limit.margin(load.units), 0.0)?;
    let name = ctx.leg_name(drain.leg);
    let finding = |verdict, what| {
        let finding = told(ctx, RULE.id, verdict, drain, what, figure.source());
        against(ctx, finding, &load, figure.value, &format!("a {size} in branch"))
    };
    let what =
        format!("{name} carries {} fixture units, a {size} in branch at most {}", load.units, figure.value);
    let finding = match as_building_drain {
        _ if verdict == Verdict::Pass => finding(verdict, what),
        Some(other) if Limit::AtMost(other.value).allows(load.units) => finding(
            Verdict::Ask,
            format!("{what}; as part of the building drain it may carry {}", other.value),
        )
        .line(building_drain_line(size, grade, other.value))
        .help("show the official that it is part of the building drain, or lay it in the next size"),
        Some(_) if !stack_below => return None,
        _ => {
            let run = ctx.rough_in.leg(drain.leg).run;
            let cure = size_for(ctx, drain, &load).and_then(|size| larger(ctx, run, size));
            finding(Verdict::RedTag, what).help(next_size(ctx, drain, &load)).cure(cure)
        }
    };
    Some((drain, limit.margin(load.units), finding))
}

fn building_drain_line(size: NominalSize, grade: Grade, limit: f64) -> String {
    format!(
        "as part of the building drain {size} in pipe may carry {limit} at {:.3} in per ft",
        grade.to_per_foot()
    )
}

fn not_in_the_table<'d>(
    ctx: &Ctx<'_>,
    drain: &'d Drain,
    load: &Load<'_>,
) -> Option<(&'d Drain, f64, Finding)> {
    let counted = ctx.profile.find(&format!("branch-fixtures.{}", drain.size)).is_some();
    if drain.fixtures.len() < 2 || counted {
        return None;
    }
    let name = ctx.leg_name(drain.leg);
    let reason =
        format!("{} {} has no branch load for this size here", ctx.profile.code(), ctx.profile.edition());
    let what = format!(
        "{name} carries {} fixture units; the profile has no load for a {} in branch",
        load.units, drain.size
    );
    let finding = told(ctx, RULE.id, Verdict::NotChecked, drain, what, Source::house(&reason))
        .reading(load.units, "dfu")
        .lines(load.lines(ctx))
        .help("look the size up in your code book, or lay it in a size of the table");
    Some((drain, f64::NEG_INFINITY, finding))
}

/// The first size whose row of the table carries the load.
fn size_for(ctx: &Ctx<'_>, drain: &Drain, load: &Load<'_>) -> Option<NominalSize> {
    let carries = |size: &NominalSize| {
        *size > drain.size
            && ctx.profile.for_size("branch-load", *size).is_some_and(|f| f.value >= load.units)
    };
    NominalSize::ALL.into_iter().find(carries)
}

fn next_size(ctx: &Ctx<'_>, drain: &Drain, load: &Load<'_>) -> String {
    match size_for(ctx, drain, load) {
        Some(size) => format!("lay it in {size} in pipe from there down, or take fixtures to another drain"),
        None => "take fixtures to another drain".to_owned(),
    }
}
