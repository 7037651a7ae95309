//! A washer's standpipe that is too low over its trap.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::flow::family;
use crate::number::{against, enough};
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::Landing;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// A standpipe's rim is at least as far above the weir of its trap as the code asks, plumb up.
    ///
    /// # Why
    ///
    /// The washer's pump throws water faster than it runs off; a short standpipe runs over.
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
    /// A trap with its weir 20 in above the floor under a rim at 36: 16 in, 18 are needed.
    "standpipe-too-short", Traps, Code,
    "a standpipe is too low over its trap",
    figures: ["standpipe-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("standpipe-min");
    for (landing, stands) in standpipes(ctx) {
        let limit = Limit::AtLeast(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(stands.to_inches()), 0.0) else { continue };
        let name = &ctx.job.fixtures[landing.fixture].name;
        let [reads, limits] = against(stands, figure.length());
        let what =
            format!("the standpipe of {name} stands {reads} above its trap's weir, needs at least {limits}");
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(landing.part)])
                .at(landing.at)
                .measured(stands.to_inches(), limit, "in")
                .lines(sum(landing))
                .help(format!(
                    "lower the trap, or raise the standpipe, by {}",
                    enough(figure.length() - stands)
                )),
        );
    }
}

/// The washers that have a trap in their run, and how far each rim stands above the weir.
pub(super) fn standpipes<'a>(ctx: &Ctx<'a>) -> Vec<(&'a Landing, Length)> {
    let washer = |l: &&Landing| ctx.job.fixtures[l.fixture].kind == FixtureKind::WasherBox;
    let trapped = |l: &Landing| {
        std::iter::successors(Some(l.part), |p| ctx.rough_in.network.below(*p))
            .any(|p| family(ctx, p) == Some(Family::PTrap))
    };
    ctx.placed
        .landings
        .iter()
        .filter(washer)
        .filter(|l| trapped(l))
        .filter_map(|l| Some((l, Length::inches(l.at.z - l.weir?.z))))
        .collect()
}

/// Rim less weir, both above the rough datum floor.
pub(super) fn sum(landing: &Landing) -> Option<String> {
    let (rim, weir) = (landing.at.z, landing.weir?.z);
    Some(format!("rim at {rim:.3}, weir at {weir:.3}: {rim:.3} - {weir:.3} = {:.3} in", rim - weir))
}
