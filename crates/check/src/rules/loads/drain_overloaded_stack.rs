//! A standing drain that carries more fixture units than its size may, in all or from one storey.

use super::{against, told};
use crate::arm::leg_down;
use crate::ctx::Ctx;
use crate::drain::{Drain, drains, too_small_for};
use crate::finding::{Finding, Limit, Verdict};
use crate::load::Load;
use crate::rule::rule;
use crate::source::Source;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// Each standing drain carries no more drainage fixture units than the code's table of stacks gives its size, and where the
    /// code limits what one branch interval may bring, no storey brings more than that.
    ///
    /// # Why
    ///
    /// Water falls down a stack as a sheet on its wall with air in the middle. Too much closes the middle, and the air it
    /// pushes and pulls blows and siphons traps.
    ///
    /// # Source
    ///
    /// The code's tables of fixture units and of stack sizes.
    ///
    /// # Limits
    ///
    /// It sees the fixtures of the job, not what an existing stack brings. A branch interval is taken as a floor's fixtures;
    /// floors nearer than the code's least height of an interval are one. The row for more than three intervals is taken
    /// where the job shows more than three. A single fixture in a size the table leaves out is sized by its trap and not looked at;
    /// pipe that is too small for one of its fixtures by itself is `drain-too-small-for-fixture`'s. Of a line of one size the
    /// lowest leg is told. Groups of fixtures are taken as `drain-overloaded-branch` takes them.
    ///
    /// # Example
    ///
    /// Eight units from one floor go down a 2 in stack, which may take 10 in all but 6 from one interval: tagged.
    "drain-overloaded-stack", Loads, Code,
    "a standing drain carries more fixture units than its size may",
    figures: ["dfu", "stack-load"],
    finds: ["stack-load-tall", "stack-interval-load", "stack-interval-height", "dfu-group", "dfu-baths", "bath-group-reach"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains: Vec<Drain> = drains(ctx).iter().filter(|d| d.stands()).cloned().collect();
    for line in lines(ctx, &drains) {
        let mut sizes: Vec<NominalSize> = Vec::new();
        // The lowest leg of a size carries the most of it.
        for drain in &line {
            if sizes.contains(&drain.size) || drain.is_arm || too_small_for(ctx, drain).is_some() {
                continue;
            }
            sizes.push(drain.size);
            out.extend(in_all(ctx, drain, intervals(ctx, &line[0].fixtures).len()));
        }
        out.extend(from_one_storey(ctx, &line));
    }
}

/// Standing drains one on the other, the lowest first.
fn lines<'d>(ctx: &Ctx<'_>, drains: &'d [Drain]) -> Vec<Vec<&'d Drain>> {
    let rough_in = ctx.rough_in;
    let mut lines: Vec<Vec<&Drain>> = Vec::new();
    for drain in drains {
        let below = leg_down(rough_in, rough_in.leg(drain.leg).low).map(|leg| leg.id);
        let on = |line: &&mut Vec<&Drain>| line.last().is_some_and(|last| Some(last.leg) == below);
        match lines.iter_mut().find(on) {
            Some(line) => line.push(drain),
            None => lines.push(vec![drain]),
        }
    }
    lines
}

fn in_all(ctx: &Ctx<'_>, drain: &Drain, intervals: usize) -> Option<Finding> {
    let size = drain.size;
    let name = || ctx.leg_name(drain.leg);
    let load = Load::of(ctx, &drain.fixtures);
    let tall = ctx.profile.for_size("stack-load-tall", size).filter(|_| intervals > 3);
    let Some(figure) = tall.or_else(|| ctx.profile.for_size("stack-load", size)) else {
        if drain.fixtures.len() < 2 {
            return None;
        }
        let reason =
            format!("{} {} has no stack load for this size here", ctx.profile.code(), ctx.profile.edition());
        let what = format!(
            "{} carries {} fixture units; the profile has no load for a {size} in stack",
            name(),
            load.units
        );
        let finding = told(ctx, RULE.id, Verdict::NotChecked, drain, what, Source::house(&reason))
            .reading(load.units, "dfu")
            .lines(load.lines(ctx));
        return Some(finding.help("look the size up in your code book, or use a size of the table"));
    };
    let verdict = ctx.verdict(Limit::AtMost(figure.value).margin(load.units), 0.0)?;
    let what = format!(
        "{} carries {} fixture units, a {size} in stack at most {}",
        name(),
        load.units,
        figure.value
    );
    let finding = told(ctx, RULE.id, verdict, drain, what, figure.source());
    let finding = against(ctx, finding, &load, figure.value, &format!("a {size} in stack"));
    Some(finding.help("run it in the next size from there down, or take fixtures to another stack"))
}

/// What one storey brings; nothing where the whole is told already.
fn from_one_storey(ctx: &Ctx<'_>, line: &[&Drain]) -> Vec<Finding> {
    let mut told_of = Vec::new();
    for storey in intervals(ctx, &line[0].fixtures) {
        let carries_all = |d: &&&Drain| storey.iter().all(|f| d.fixtures.contains(f));
        let Some(drain) = line.iter().rev().find(carries_all) else { continue };
        let Some(figure) = ctx.profile.for_size("stack-interval-load", drain.size) else { continue };
        let load = Load::of(ctx, &storey);
        let whole = Load::of(ctx, &drain.fixtures).units;
        let most = ctx.profile.for_size("stack-load", drain.size).map_or(f64::INFINITY, |f| f.value);
        let verdict = ctx.verdict(Limit::AtMost(figure.value).margin(load.units), 0.0);
        let Some(verdict) = verdict.filter(|_| whole <= most && too_small_for(ctx, drain).is_none()) else {
            continue;
        };
        let floor = &ctx.job.fixtures[storey[0]].floor;
        let what = format!(
            "{floor} brings {} fixture units into {}, one branch interval into a {} in stack at most {}",
            load.units,
            ctx.leg_name(drain.leg),
            drain.size,
            figure.value
        );
        let finding = told(ctx, RULE.id, verdict, drain, what, figure.source());
        let finding = against(ctx, finding, &load, figure.value, "one interval");
        told_of.push(
            finding.help("run the stack in the next size from there down, or take fixtures to another stack"),
        );
    }
    told_of
}

/// The fixtures storey by storey, from below; floors nearer to each other than the least height of an interval are one.
fn intervals(ctx: &Ctx<'_>, fixtures: &[usize]) -> Vec<Vec<usize>> {
    let least = ctx.profile.find("stack-interval-height").map_or(0.0, |f| f.length().to_inches());
    let rough =
        |f: &usize| ctx.rough_in.framed.floor(&ctx.job.fixtures[*f].floor).map_or(0.0, |floor| floor.rough_z);
    let mut sorted = fixtures.to_vec();
    sorted.sort_by(|a, b| rough(a).total_cmp(&rough(b)));
    let mut storeys: Vec<(f64, Vec<usize>)> = Vec::new();
    for fixture in sorted {
        let z = rough(&fixture);
        match storeys.last_mut() {
            Some((from, storey)) if z <= *from || z - *from < least => storey.push(fixture),
            _ => storeys.push((z, vec![fixture])),
        }
    }
    storeys.into_iter().map(|(_, fixtures)| fixtures).collect()
}
