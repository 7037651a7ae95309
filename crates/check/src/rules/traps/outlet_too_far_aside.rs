//! A fixture whose trap stands too far aside from its outlet.

use super::outlet_too_far_above_weir::trap_of;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::{against, enough};
use crate::rule::rule;
use truefall_model::catalog::pattern::INLET;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// On the plan, the end of the run under a tub, shower or floor drain is no farther from the inlet of its trap than the code
    /// allows.
    ///
    /// # Why
    ///
    /// Pipe between a drain and its trap is washed by nothing but that drain and open to the room: it grows foul and smells.
    ///
    /// # Source
    ///
    /// The code's greatest level distance from a fixture's outlet to its trap's inlet. Where the profile has none, nothing is
    /// looked at.
    ///
    /// # Limits
    ///
    /// The outlet is taken where the run ends; how far that is off the fixture's drain is `misfit-at-fixture`'s. Sinks are not looked at: their trap is hung under the bowl
    /// at finish. A washer's standpipe goes straight up and has limits of its own. The distance is straight; pipe that goes round
    /// a corner on its way counts as its ends are apart.
    ///
    /// # Example
    ///
    /// A shower's trap hangs two bays off, 36 in from the drain: at most 30.
    "outlet-too-far-aside", Traps, Code,
    "a fixture's outlet is too far aside from its trap",
    figures: [],
    finds: ["outlet-aside"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("outlet-aside") else { return };
    for landing in &ctx.placed.landings {
        let fixture = &ctx.job.fixtures[landing.fixture];
        if !matches!(fixture.kind, FixtureKind::Tub | FixtureKind::Shower | FixtureKind::FloorDrain) {
            continue;
        }
        let Some(trap) = trap_of(ctx, landing) else { continue };
        let inlet = ctx.rough_in.part(trap).pattern().and_then(|p| p.port(INLET).ok());
        let Some(inlet) = inlet.map(|port| ctx.placed.stop(ctx.rough_in, trap, port)) else { continue };
        let aside = Length::inches((landing.at - inlet).xy().norm());
        let limit = Limit::AtMost(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(aside.to_inches()), 0.0) else { continue };
        let [reads, most] = against(aside, figure.length());
        let what =
            format!("the outlet of {} is {reads} aside from its trap's inlet, at most {most}", fixture.name);
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([&fixture.name, ctx.label(trap)])
                .at(inlet)
                .measured(aside.to_inches(), limit, "in")
                .line(format!(
                    "outlet at {:.3}, {:.3} on the plan, the trap's inlet at {:.3}, {:.3}: {:.3} in",
                    landing.at.x,
                    landing.at.y,
                    inlet.x,
                    inlet.y,
                    aside.to_inches()
                ))
                .help(format!("bring the trap {} nearer to the drain", enough(aside - figure.length()))),
        );
    }
}
