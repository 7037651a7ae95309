//! Lines of sums that rules about vents share.

use crate::ctx::Ctx;
use crate::vent::Rim;

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
