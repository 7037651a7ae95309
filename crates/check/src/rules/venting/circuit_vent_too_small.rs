//! A circuit's vent or its relief vent too small for the branch.

use super::lines::names;
use super::vent_too_small::least;
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::load::Load;
use crate::rule::rule;
use crate::vent::{Method, Way};
use std::collections::BTreeSet;
use truefall_model::units::{Length, NominalSize};

rule! {
    /// # What it checks
    ///
    /// The dry vent of a circuit, and its relief vent, are at least half the drain that all traps of the circuit require together;
    /// where a code says what a vent of a size may serve, the relief vent serves no more.
    ///
    /// # Why
    ///
    /// One pipe gives air to the whole branch: what is enough for each trap by itself is little when several run at once.
    ///
    /// # Source
    ///
    /// The code's section on the size of vents, which counts circuit and relief vents by the drain they serve.
    ///
    /// # Limits
    ///
    /// The drain is the smallest that the table of branches lets carry the circuit, not the larger pipe it may be run in. What each
    /// trap asks of its vent by itself is `vent-too-small`'s, and is not told twice. A fixture's drain that serves as relief vent
    /// is not held to this. Beyond the table of branches nothing is told.
    ///
    /// # Example
    ///
    /// Seven floor drains of 2 units require a 3 in branch: their vent is 1-1/4 in, and half of 3 is 1-1/2.
    "circuit-vent-too-small", Venting, Code,
    "the vent of a circuit is too small for its branch",
    figures: ["vent-of-drain", "branch-load", "drain-min", "dfu"],
    finds: ["vent-max-dfu"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let mut seen = BTreeSet::new();
    for trap in &ctx.vents.traps {
        let Some(vent) = trap.vent.as_ref().filter(|v| v.method == Method::Circuit) else { continue };
        let Some(way) = vent.way.as_ref().filter(|w| seen.insert((w.from, w.port))) else { continue };
        out.extend(judge(ctx, way, &vent.shared, "circuit vent"));
    }
    for relief in &ctx.vents.reliefs {
        out.extend(judge(ctx, &relief.way, &relief.fixtures, "relief vent"));
    }
}

fn judge(ctx: &Ctx<'_>, way: &Way, fixtures: &BTreeSet<usize>, word: &str) -> Option<Finding> {
    let (at, own) = way.smallest(ctx.rough_in);
    let has = own.nominal().to_inches();
    // What the largest of its traps asks for is told by another rule.
    let (each, ..) = least(ctx, fixtures)?;
    if !Limit::AtLeast(each).allows(has) {
        return None;
    }
    let list: Vec<usize> = fixtures.iter().copied().collect();
    let load = Load::of(ctx, &list);
    let size = required(ctx, &list, load.units)?;
    let share = ctx.profile.figure("vent-of-drain");
    let half = size.nominal().to_inches() * share.value;
    let (limit, figure, line) = match by_units(ctx, load.units) {
        Some((least, figure)) if least > half => {
            (least, figure, format!("{} units: a vent of {least} in at least", load.units))
        }
        _ => (half, share, format!("{} x {size} = {half}", share.value)),
    };
    let verdict = ctx.verdict(has - limit, 0.0)?;
    let what =
        format!("the {word} of {} is {own} in, at least {}", names(ctx, fixtures), Length::inches(limit));
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([ctx.label(way.from), ctx.run_of(at), ctx.label(at)])
            .at(ctx.placed.origin(at))
            .measured(has, Limit::AtLeast(limit), "in")
            .lines(load.lines(ctx))
            .line(format!("{} units want a branch of {size} in", load.units))
            .line(line)
            .help(format!("run it in {limit} in pipe or larger")),
    )
}

/// The smallest branch that may carry fixtures.
fn required(ctx: &Ctx<'_>, fixtures: &[usize], units: f64) -> Option<NominalSize> {
    let of_kind = |f: &usize| ctx.profile.find(&format!("drain-min.{}", ctx.job.fixtures[*f].kind.word()));
    let least = fixtures.iter().filter_map(of_kind).map(|f| f.value).fold(0.0, f64::max);
    NominalSize::ALL.into_iter().find(|size| {
        size.nominal().to_inches() >= least
            && ctx.profile.for_size("branch-load", *size).is_some_and(|f| f.value >= units)
    })
}

/// The smallest vent that may serve so many units, where a code's table tells.
fn by_units<'c>(ctx: &Ctx<'c>, units: f64) -> Option<(f64, &'c Figure)> {
    NominalSize::ALL.into_iter().find_map(|size| {
        let figure = ctx.profile.for_size("vent-max-dfu", size)?;
        (figure.value >= units).then_some((size.nominal().to_inches(), figure))
    })
}
