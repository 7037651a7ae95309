//! Lines of sums that rules about vents share, and what several of them are held to.

use crate::ctx::Ctx;
use crate::load::Load;
use crate::vent::{AirEnd, Method, Rim, Span, Trap, Way};
use std::collections::BTreeMap;
use truefall_model::place::PartId;
use truefall_model::units::NominalSize;

/// Names of fixtures in their order.
pub(super) fn names<'f>(ctx: &Ctx<'_>, fixtures: impl IntoIterator<Item = &'f usize>) -> String {
    let names: Vec<&str> = fixtures.into_iter().map(|f| ctx.fixture(*f).as_str()).collect();
    names.join(", ")
}

/// Where a flood level was taken.
pub(super) fn rim_line(ctx: &Ctx<'_>, fixture: usize, rim: Rim) -> String {
    let assumed = if rim.assumed { ", assumed: usual for the kind" } else { "" };
    format!("the rim of {} is at {:.3} in{assumed}", ctx.fixture(fixture), rim.z)
}

/// The drain that all fixtures of a job require by themselves.
pub(super) struct Required {
    /// Its size.
    pub size: NominalSize,
    /// What they bring.
    pub units: f64,
    /// The fixtures.
    pub fixtures: Vec<usize>,
}

impl Required {
    /// The smallest building drain that may carry all drained fixtures at 1/4 in per ft; none without any, or beyond the table.
    pub(super) fn of(ctx: &Ctx<'_>) -> Option<Self> {
        let mut fixtures: Vec<usize> = ctx.rough_in.runs.iter().filter_map(|run| run.fixture).collect();
        fixtures.sort_unstable();
        let units = Load::of(ctx, &fixtures).units;
        let of_kind =
            |f: &usize| ctx.profile.find(&format!("drain-min.{}", ctx.job.fixtures[*f].kind.word()));
        let least = fixtures.iter().filter_map(of_kind).map(|f| f.value).fold(0.0, f64::max);
        let carries = |size: &NominalSize| {
            size.nominal().to_inches() >= least
                && ctx.profile.for_size("building-drain-load-1/4", *size).is_some_and(|f| f.value >= units)
        };
        let size = NominalSize::ALL.into_iter().find(carries).filter(|_| !fixtures.is_empty())?;
        Some(Self { size, units, fixtures })
    }
}

/// The vents in use that go through the roof: the last part, and the smallest pipe of the best way there.
pub(super) fn openings(ctx: &Ctx<'_>) -> Vec<(PartId, NominalSize)> {
    let mut found: BTreeMap<PartId, NominalSize> = BTreeMap::new();
    for served in ctx.vents.served().into_iter().filter(|s| s.way.end == AirEnd::Roof) {
        let last = served.way.parts.last().map_or(served.way.from, |p| p.0);
        let (_, size) = served.way.smallest(ctx.rough_in);
        let best = found.entry(last).or_insert(size);
        *best = (*best).max(size);
    }
    found.into_iter().collect()
}

/// The traps with an island's loop, each with its dry way and that way's straight lengths.
pub(super) fn loops<'v>(ctx: &Ctx<'v>) -> Vec<(&'v Trap, &'v Way, Vec<Span>)> {
    let of = |trap: &'v Trap| {
        let vent = trap.vent.as_ref().filter(|v| v.method == Method::Island)?;
        let way = vent.way.as_ref()?;
        Some((trap, way, way.spans(ctx.rough_in, ctx.placed)))
    };
    ctx.vents.traps.iter().filter_map(of).collect()
}
