//! A fixture that drains through two traps.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::family;
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::place::PartId;

rule! {
    /// # What it checks
    ///
    /// Waste passes one trap on its way from a fixture to the base: the one in its run, the one hung on its stub at
    /// finish, or a closet's own.
    ///
    /// # Why
    ///
    /// The air between two traps has no way out. The water will not pass, or pulls one of them dry.
    ///
    /// # Source
    ///
    /// All three codes forbid a second trap.
    ///
    /// # Limits
    ///
    /// A trap in existing work below the base is not known. A sink that drains into a standpipe from above is not in the
    /// job as such.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A closet's branch has a 3 in trap below the flange: the closet has its own, tagged.
    "trap-double", Traps, Code,
    "a fixture drains through two traps",
    figures: ["traps-in-line"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("traps-in-line");
    let limit = Limit::AtMost(figure.value);
    for landing in &ctx.placed.landings {
        let fixture = &ctx.job.fixtures[landing.fixture];
        let traps: Vec<PartId> =
            std::iter::successors(Some(landing.part), |p| ctx.rough_in.network.below(*p))
                .filter(|p| family(ctx, *p) == Some(Family::PTrap))
                .collect();
        let own = usize::from(fixture.kind.on_flange() || fixture.kind.through_wall());
        let count = f64::from(u8::try_from(own + traps.len()).unwrap_or(u8::MAX));
        let Some(last) = traps.last().filter(|_| !limit.allows(count)) else { continue };
        let own_words = match (fixture.kind.on_flange(), fixture.kind.through_wall()) {
            (true, _) => "its own trap and ",
            (_, true) => "the trap hung at finish and ",
            _ => "",
        };
        let names: Vec<&str> = traps.iter().map(|p| ctx.label(*p).as_str()).collect();
        let what = format!(
            "{} drains through {own_words}{}: {count} traps in line, at most {}",
            fixture.name,
            names.join(" and "),
            figure.value
        );
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, figure.source())
                .on([&fixture.name])
                .on(traps.iter().map(|p| ctx.label(*p)))
                .at(ctx.placed.origin(*last))
                .measured(count, limit, "count")
                .help(format!("take {} out", names.last().copied().unwrap_or_default())),
        );
    }
}
