//! A trap arm that could not be measured: no trap was found.

use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// Every fixture but a closet has a trap whose weir is known, so that its arm can be measured.
    ///
    /// # Why
    ///
    /// Where no trap is known nothing can be said of its arm or its vent, and that must not pass in silence.
    ///
    /// # Source
    ///
    /// Our own rule. Codes ask for a trap under every fixture.
    ///
    /// # Limits
    ///
    /// A trap without a vent has no arm to measure either: that is `trap-not-vented`.
    ///
    /// # Example
    ///
    /// A floor drain's branch ends in a bend under it and has no trap: not checked.
    "trap-arm-not-measured", Traps,
    House("what could not be measured is told"),
    "a fixture has no trap to measure an arm from",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let finding = |fixture: usize, what: String| {
        Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, RULE.source())
            .on([&ctx.job.fixtures[fixture].name])
    };
    for landing in &ctx.placed.landings {
        let fixture = &ctx.job.fixtures[landing.fixture];
        if landing.weir.is_none() && !fixture.kind.on_flange() {
            let what = format!("{} has no trap in its run; its trap arm was not measured", fixture.name);
            out.push(
                finding(landing.fixture, what).at(landing.at).help("put a trap in the run that ends at it"),
            );
        }
    }
}
