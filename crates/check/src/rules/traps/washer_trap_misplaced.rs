//! A washer's trap that is too low or too high above its floor.

use super::standpipe_too_short::standpipes;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::lean::position_error;
use crate::rule::rule;
use nalgebra::Vector3;

rule! {
    /// # What it checks
    ///
    /// The weir of a washer's trap is within the code's window above the finished floor the washer stands on. Where the
    /// profile has no window, nothing is looked at.
    ///
    /// # Why
    ///
    /// A trap that can be reached can be cleaned, and below the floor nobody finds it.
    ///
    /// # Source
    ///
    /// The UPC's window; the IRC and IPC set none.
    ///
    /// # Limits
    ///
    /// The trap is measured at its weir. A result off by less than the survey's error is a question.
    ///
    /// # Example
    ///
    /// By the UPC, a trap below the floor under a standpipe of legal height is still tagged.
    "washer-trap-misplaced", Traps, Code,
    "a washer's trap is not at the height the code wants above the floor",
    figures: [],
    finds: ["standpipe-trap-min", "standpipe-trap-max"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (Some(least), Some(most)) =
        (ctx.profile.find("standpipe-trap-min"), ctx.profile.find("standpipe-trap-max"))
    else {
        return;
    };
    for (landing, _) in standpipes(ctx) {
        let fixture = &ctx.job.fixtures[landing.fixture];
        let (Some(weir), Some(floor)) = (landing.weir, ctx.rough_in.framed.floor(&fixture.floor)) else {
            continue;
        };
        let above = weir.z - floor.finished_z;
        let limit = Limit::Between(least.value, most.value);
        let error = position_error(ctx, landing.part, weir, Vector3::z()).to_inches();
        let Some(verdict) = ctx.verdict(limit.margin(above), error) else { continue };
        let figure = if above < least.value { least } else { most };
        let where_ = if above < 0.0 { "below" } else { "above" };
        let what = format!(
            "the trap of {} has its weir {} {where_} the finished floor, allowed {} to {} above",
            fixture.name,
            truefall_model::units::Length::inches(above.abs()),
            least.length(),
            most.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([&fixture.name, ctx.label(landing.part)])
                .at(weir)
                .measured(above, limit, "in")
                .known_to(error)
                .line(format!(
                    "weir at {:.3}, finished floor at {:.3}: {above:.3} in above it",
                    weir.z, floor.finished_z
                ))
                .help(format!("move the trap {}", way(above, least.value, most.value))),
        );
    }
}

/// How far, and which way.
fn way(above: f64, least: f64, most: f64) -> String {
    let (by, word) = if above < least { (least - above, "up") } else { (above - most, "down") };
    format!("{} {word}", truefall_model::units::Length::inches(by))
}
