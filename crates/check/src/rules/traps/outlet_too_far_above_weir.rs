//! A fixture whose outlet stands too high over its trap.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::flow::family;
use crate::lean::position_error;
use crate::number::{against, enough};
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{Landing, PartId};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// The outlet of a tub, shower or floor drain is no farther above its trap's weir, plumb, than the code allows.
    ///
    /// # Why
    ///
    /// What drops far gathers so much speed that it takes the trap's seal along.
    ///
    /// # Source
    ///
    /// The code's greatest height from a fixture's outlet to its trap's weir.
    ///
    /// # Limits
    ///
    /// The outlet is taken at the finished floor; of a floor drain at its rim where that is stated. A tub's is an inch or two higher.
    /// Sinks are not looked at: their trap is hung under the bowl at finish. Washers have their standpipe's own limits. How
    /// far aside the trap stands is `outlet-too-far-aside`'s.
    ///
    /// # Example
    ///
    /// A shower's trap hangs below the joists with its weir 26 in under the floor: at most 24.
    "outlet-too-far-above-weir", Traps, Code,
    "a fixture's outlet is too far above its trap",
    figures: ["outlet-to-weir"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("outlet-to-weir");
    for landing in &ctx.placed.landings {
        let fixture = &ctx.job.fixtures[landing.fixture];
        let (Some(outlet), Some(weir)) = (outlet(ctx, landing), landing.weir) else { continue };
        if trap_of(ctx, landing).is_none() {
            continue;
        }
        let above = outlet - weir.z;
        let limit = Limit::AtMost(figure.value);
        let error = position_error(ctx, landing.part, weir, Vector3::z()).to_inches();
        let Some(verdict) = ctx.verdict(limit.margin(above), error) else { continue };
        let above_length = Length::inches(above);
        let [reads, most] = against(above_length, figure.length());
        let what = format!("the outlet of {} is {reads} above its trap's weir, at most {most}", fixture.name);
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([&fixture.name, ctx.label(landing.part)])
                .at(weir)
                .measured(above, limit, "in")
                .known_to(error)
                .line(format!("outlet at {outlet:.3}, weir at {:.3}: {above:.3} in", weir.z))
                .help(format!("raise the trap {}", enough(above_length - figure.length()))),
        );
    }
}

/// Height of a fixture's outlet in job axes, for fixtures that drain through the floor.
fn outlet(ctx: &Ctx<'_>, landing: &Landing) -> Option<f64> {
    let fixture = &ctx.job.fixtures[landing.fixture];
    let floor = ctx.rough_in.framed.floor(&fixture.floor)?.finished_z;
    match fixture.kind {
        FixtureKind::FloorDrain => {
            Some(fixture.rim.as_ref().and_then(|rim| ctx.rough_in.framed.height(rim)).unwrap_or(floor))
        }
        FixtureKind::Tub | FixtureKind::Shower => Some(floor),
        _ => None,
    }
}

/// The trap in the run of a landing: without one its weir is nobody's.
pub(super) fn trap_of(ctx: &Ctx<'_>, landing: &Landing) -> Option<PartId> {
    let run = ctx.rough_in.part(landing.part).run;
    std::iter::successors(Some(landing.part), |p| ctx.rough_in.network.below(*p))
        .take_while(|p| ctx.rough_in.part(*p).run == run)
        .find(|p| family(ctx, *p) == Some(Family::PTrap))
}
