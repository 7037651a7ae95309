//! A largest vent too small for the building drain.

use super::lines::{Required, names, openings};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// The largest vent through the roof is at least half the size of the building drain that the job's fixtures require.
    ///
    /// # Why
    ///
    /// One vent to the open air is the drain's own: all other vents may be closed by valves, and this one alone breathes.
    ///
    /// # Source
    ///
    /// The code's section on the vent each building drain has. The UPC asks for the area of all vents together instead: see
    /// `vents-too-small-together`.
    ///
    /// # Limits
    ///
    /// The house may have a larger vent elsewhere; so it asks. The drain is the smallest that may carry all of the job's fixtures
    /// at 1/4 in per ft. A vent counts with its smallest pipe. A job without a vent through the roof is `vent-not-open-to-air`'s.
    ///
    /// # Example
    ///
    /// A bath drains by 3 in pipe and its only vent is 1-1/4 in: half of 3 is 1-1/2.
    "main-vent-too-small", Venting, Code,
    "the largest vent is too small for the building drain",
    figures: ["building-drain-load-1/4", "dfu", "drain-min"],
    finds: ["main-vent-of-drain"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("main-vent-of-drain") else { return };
    let vents = openings(ctx);
    let Some((part, own)) = vents.iter().copied().max_by_key(|v| (v.1, std::cmp::Reverse(v.0))) else {
        return;
    };
    let Some(Required { size, units, fixtures }) = Required::of(ctx) else { return };
    let half = size.nominal().to_inches() * figure.value;
    let (limit, has) = (Limit::AtLeast(half), own.nominal().to_inches());
    let Some(verdict) = ctx.verdict(limit.margin(has), 0.0) else { return };
    let verdict = if verdict == Verdict::Pass { verdict } else { Verdict::Ask };
    let what = format!(
        "the largest vent through the roof is {own} in, a {size} in drain wants {} at least",
        Length::inches(half)
    );
    out.push(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([ctx.label(part)])
            .at(ctx.placed.origin(part))
            .measured(has, limit, "in")
            .line(format!("{} bring {units} units: {size} in drain", names(ctx, &fixtures)))
            .line(format!("{} x {size} = {half:.3}", figure.value))
            .help("find the vent this size that the house has elsewhere, or run one in it"),
    );
}
