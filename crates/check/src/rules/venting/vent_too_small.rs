//! A vent too small for the drain it serves.

use super::lines::names;
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::{Served, fixture_units};
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// A dry vent is at least half the size of the largest drain it serves and no smaller than the least size; where a code
    /// says what a vent of a size may serve, it serves no more, and where it asks more for a closet, it has that.
    ///
    /// # Why
    ///
    /// A small pipe lets too little air in when a fixture is let go all at once.
    ///
    /// # Source
    ///
    /// The code's sections and tables on vent sizes.
    ///
    /// # Limits
    ///
    /// The drain is that which the fixture's trap asks for, not the larger pipe it may be run in. A waste stack's and a single
    /// stack's vent is full size by its method. Longer vents are `vent-too-long`. Fixture units are those of each
    /// fixture by itself. What the building drain asks of them is `main-vent-too-small`'s and `vents-too-small-together`'s.
    ///
    /// # Example
    ///
    /// A closet vented by 1-1/4 in pipe: half of 3 in is 1-1/2.
    "vent-too-small", Venting, Code,
    "a vent is too small for the drain it serves",
    figures: ["vent-of-drain", "vent-least"],
    finds: ["closet-vent-least", "vent-max-dfu"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let through = ctx.vents.served_through();
    for served in ctx.vents.served() {
        // The first of its parts that is too small for all that is served through it; of what passes, the nearest to its limit.
        let own = (served.way.from, served.way.port, &served.fixtures);
        let parts = served.way.parts.iter().map(|(p, port)| (*p, *port, &through[p].1));
        let mut judged = std::iter::once(own).chain(parts).filter_map(|(part, port, fixtures)| {
            let size = ctx.rough_in.part(part).ports()[port].size;
            let finding = judge(ctx, &served, size, fixtures)?;
            Some(finding.on([ctx.label(part)]).at(ctx.placed.stop(ctx.rough_in, part, port)))
        });
        let mut chosen: Option<Finding> = None;
        while let Some(finding) = judged.next().filter(|_| !chosen.as_ref().is_some_and(is_wrong)) {
            let nearer = chosen.as_ref().is_none_or(|c| is_wrong(&finding) || spare(&finding) < spare(c));
            chosen = if nearer { Some(finding) } else { chosen };
        }
        out.extend(chosen);
    }
}

fn is_wrong(finding: &Finding) -> bool {
    finding.verdict != Verdict::Pass
}

/// Margin as a share of the limit.
fn spare(finding: &Finding) -> f64 {
    finding.limit.zip(finding.margin).and_then(|(limit, margin)| limit.share(margin)).unwrap_or(0.0)
}

fn judge(
    ctx: &Ctx<'_>,
    served: &Served<'_>,
    size: NominalSize,
    fixtures: &BTreeSet<usize>,
) -> Option<Finding> {
    let (least, figure, line) = least(ctx, fixtures)?;
    let limit = Limit::AtLeast(least);
    let fixture = ctx.fixture(served.trap.fixture);
    let begin = |verdict, what: String, figure: &Figure| {
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source()).on([fixture])
    };
    let own = size.nominal().to_inches();
    let by_size = ctx.verdict(limit.margin(own), 0.0).map(|verdict| {
        let what = format!(
            "the vent of {} is {size} in, at least {}",
            names(ctx, &served.fixtures),
            truefall_model::units::Length::inches(least)
        );
        begin(verdict, what, figure)
            .measured(own, limit, "in")
            .line(line)
            .help(format!("run it in {least} in pipe or larger"))
    });
    let Some(most) = ctx.profile.for_size("vent-max-dfu", size).filter(|_| limit.allows(own)) else {
        return by_size;
    };
    let units: f64 = fixtures.iter().filter_map(|f| fixture_units(ctx.profile, &ctx.job.fixtures[*f])).sum();
    let limit = Limit::AtMost(most.value);
    let Some(verdict) = ctx.verdict(limit.margin(units), 0.0) else { return by_size };
    let what = format!(
        "the {size} in vent of {} serves {units} fixture units, at most {}",
        names(ctx, &served.fixtures),
        most.value
    );
    let by_units = begin(verdict, what, most)
        .measured(units, limit, "dfu")
        .line(format!("through it: {}", names(ctx, fixtures)))
        .help("run it one size larger");
    match by_size {
        Some(size) if !is_wrong(&by_units) && spare(&size) <= spare(&by_units) => Some(size),
        _ => Some(by_units),
    }
}

/// The least size for what a vent serves, inches: the strictest of half the largest drain, the least of all, and a closet's.
pub(super) fn least<'c>(ctx: &Ctx<'c>, fixtures: &BTreeSet<usize>) -> Option<(f64, &'c Figure, String)> {
    let (share, floor) = (ctx.profile.figure("vent-of-drain"), ctx.profile.figure("vent-least"));
    let drain = |f: &usize| {
        let fixture = &ctx.job.fixtures[*f];
        let usual = || ctx.catalog.rough_in(fixture.kind.word()).map(|r| r.trap.value);
        fixture.trap.or_else(usual).map(|size| (size, *f))
    };
    let (size, largest) =
        fixtures.iter().filter_map(drain).max_by_key(|(size, f)| (*size, std::cmp::Reverse(*f)))?;
    let half = size.nominal().to_inches() * share.value;
    let line = format!("{} drains by {size} in: {} x {size} = {half}", ctx.fixture(largest), share.value);
    let mut least = if half < floor.value {
        (floor.value, floor, format!("{line}; no vent is under {}", floor.value))
    } else {
        (half, share, line)
    };
    let closet = fixtures.iter().find(|f| ctx.job.fixtures[**f].kind == FixtureKind::Closet);
    if let (Some(closet), Some(figure)) = (closet, ctx.profile.find("closet-vent-least"))
        && figure.value > least.0
    {
        least = (figure.value, figure, format!("{} asks for {} in", ctx.fixture(*closet), figure.value));
    }
    Some(least)
}
