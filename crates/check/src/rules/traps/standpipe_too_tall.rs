//! A washer's standpipe that is too high over its trap.

use super::standpipe_too_short::{standpipes, sum};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::{against, enough};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// A standpipe's rim is no farther above the weir of its trap than the code allows, plumb up.
    ///
    /// # Why
    ///
    /// A tall column of water rushes through the trap and takes the seal along.
    ///
    /// # Source
    ///
    /// The code's window for standpipes. Codes differ in the upper end.
    ///
    /// # Limits
    ///
    /// The rim is where the run's end lands; the standpipe may be offset by 1/8 bends on the way. A washer without a trap in its
    /// run is told by `trap-missing`.
    ///
    /// # Example
    ///
    /// A trap below the floor, with its weir 10 in under it, and a rim at 36: 46 in, at most 42.
    "standpipe-too-tall", Traps, Code,
    "a standpipe is too high over its trap",
    figures: ["standpipe-max"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("standpipe-max");
    for (landing, stands) in standpipes(ctx) {
        let limit = Limit::AtMost(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(stands.to_inches()), 0.0) else { continue };
        let name = &ctx.job.fixtures[landing.fixture].name;
        let [reads, limits] = against(stands, figure.length());
        let what = format!("the standpipe of {name} stands {reads} above its trap's weir, at most {limits}");
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(landing.part)])
                .at(landing.at)
                .measured(stands.to_inches(), limit, "in")
                .lines(sum(landing))
                .help(format!(
                    "raise the trap, or cut the standpipe, by {}",
                    enough(stands - figure.length())
                )),
        );
    }
}
