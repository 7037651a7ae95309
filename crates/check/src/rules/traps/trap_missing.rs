//! A fixture without a trap.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::family;
use crate::rule::rule;
use truefall_model::catalog::family::Family;

rule! {
    /// # What it checks
    ///
    /// A tub, shower, washer or floor drain has a trap in its own run.
    ///
    /// # Why
    ///
    /// Without one the sewer's air comes up through it.
    ///
    /// # Source
    ///
    /// All three codes ask for a trap at every fixture.
    ///
    /// # Limits
    ///
    /// Sinks are taken to have theirs hung on the stub at finish, and closets have their own. A trap in existing work
    /// below the base is not known. A trap farther down, shared with other fixtures, is not counted as this one's.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A shower's branch ends under its drain in a 1/4 bend: tagged.
    "trap-missing", Traps, Code,
    "a fixture has no trap in its run",
    figures: ["traps-least"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("traps-least");
    for landing in &ctx.placed.landings {
        let fixture = &ctx.job.fixtures[landing.fixture];
        if fixture.kind.on_flange() || fixture.kind.through_wall() {
            continue;
        }
        let run = ctx.rough_in.part(landing.part).run;
        let trapped = std::iter::successors(Some(landing.part), |p| ctx.rough_in.network.below(*p))
            .take_while(|p| ctx.rough_in.part(*p).run == run)
            .any(|p| family(ctx, p) == Some(Family::PTrap));
        if trapped {
            continue;
        }
        let what = format!("{} has no trap in its run", fixture.name);
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, figure.source())
                .on([&fixture.name, &ctx.rough_in.run(run).label])
                .at(landing.at)
                .measured(0.0, Limit::AtLeast(figure.value), "count")
                .help("put a trap in the run that ends at it"),
        );
    }
}
