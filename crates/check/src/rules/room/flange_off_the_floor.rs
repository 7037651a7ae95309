//! A closet flange whose ring does not lie on the finished floor.

use crate::bore::telling::over;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::lean::{heading_words, position_error, tilt_error};
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::Landing;
use truefall_model::tolerance::at_most;
use truefall_model::units::{Fineness, Length};

rule! {
    /// # What it checks
    ///
    /// The underside of each closet flange's ring against the finished floor: on it, or no more above it than the profile
    /// allows; and how far out of level the ring stands, from one edge to the other.
    ///
    /// # Why
    ///
    /// A ring below the floor leaves a gap the seal has to bridge, one above it rocks the closet, and a riser that leans tilts
    /// its ring with it. Both are found when the closet is set, with the floor closed.
    ///
    /// # Source
    ///
    /// Common practice, not code: the underside lies on the finished floor. How far out of level is taken up by seal and shims
    /// is a choice of this project.
    ///
    /// # Limits
    ///
    /// A height that is farther off than the fixture's tolerance is told by `misfit-at-fixture` alone. The finished floor is taken
    /// as flat and level at the height the job gives it. Which way a tilted ring is shimmed the found placement tells only
    /// as well as the lean was read.
    ///
    /// # Example
    ///
    /// The ring comes out 3/8 in above the tile: 1/4 is allowed. Its riser leans 1/4 in per ft, which over the 7 in ring is 2/16.
    "flange-off-the-floor", Room,
    House("the closet is bolted to the ring and stands on the floor, so both must be one plane"),
    "a closet flange does not lie on the finished floor",
    figures: ["flange-above", "flange-below", "flange-ring", "flange-tilt"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for landing in &ctx.placed.landings {
        if ctx.job.fixtures[landing.fixture].kind == FixtureKind::Closet {
            let height = off_the_floor(ctx, landing);
            let wrong = height.as_ref().is_some_and(|f| f.verdict != Verdict::Pass);
            let level = out_of_level(ctx, landing).filter(|_| !wrong);
            // One ring, one word: where it is out of level its right height is no pass.
            let tilted = level.as_ref().is_some_and(|f| f.verdict != Verdict::Pass);
            out.extend(height.filter(|_| !tilted));
            out.extend(level);
        }
    }
}

fn off_the_floor(ctx: &Ctx<'_>, landing: &Landing) -> Option<Finding> {
    let above = landing.at.z - landing.wants.z;
    let (most, least) = (ctx.profile.figure("flange-above"), ctx.profile.figure("flange-below"));
    let limit = Limit::Between(-least.value, most.value);
    let error = position_error(ctx, landing.part, landing.at, Vector3::z());
    let verdict = ctx.verdict(limit.margin(above), error.to_inches())?;
    // What lands too far off is the misfit's to tell; the arithmetic alone decides nothing.
    if !at_most(landing.misfit(), landing.tolerance) {
        return None;
    }
    let (figure, way, back) = if above < 0.0 { (least, "below", "raise") } else { (most, "above", "lower") };
    let by = if above < 0.0 { -above - least.value } else { above - most.value };
    let what = format!(
        "the ring of {} for {} is {} {way} the finished floor, at most {}",
        ctx.label(landing.part),
        ctx.job.fixtures[landing.fixture].name,
        Length::inches(above.abs()),
        figure.length()
    );
    Some(
        finding(ctx, landing, verdict, what, figure.source())
            .measured(above, limit, "in")
            .known_to(error.to_inches())
            .line(format!(
                "underside of the ring z {:.3}, finished floor z {:.3}: {above:.3} in",
                landing.at.z, landing.wants.z
            ))
            .line(format!("{:.3} in, at most {:.3}: {}", above.abs(), figure.value, over(Length::inches(by))))
            .help(format!(
                "{back} the ring {}: cut the riser under it by so much {}",
                Length::inches(by),
                if above < 0.0 { "longer" } else { "shorter" }
            )),
    )
}

/// Only a ring at a right height is held to be level: one fault, one finding.
fn out_of_level(ctx: &Ctx<'_>, landing: &Landing) -> Option<Finding> {
    let (ring, figure) = (ctx.profile.figure("flange-ring"), ctx.profile.figure("flange-tilt"));
    let (up, level) = (landing.axis.z, landing.axis.xy());
    let tilt = ring.value * level.norm() / up.abs().max(f64::EPSILON);
    let limit = Limit::AtMost(figure.value);
    let along = level.try_normalize(1e-9).unwrap_or_default();
    let error = tilt_error(ctx, landing.part, along).over(ring.length());
    let verdict = ctx.verdict(limit.margin(tilt), error.to_inches())?;
    // Seal and shims take up more than nothing: a tilt is no red tag.
    let verdict = if verdict == Verdict::RedTag { Verdict::Watch } else { verdict };
    let sixteenths = Length::inches(tilt).to_trade(Fineness::Sixteenth);
    let low = heading_words(ctx, landing.at, level);
    let what = format!(
        "the ring of {} for {} is {sixteenths} out of level from edge to edge, at most {}",
        ctx.label(landing.part),
        ctx.job.fixtures[landing.fixture].name,
        figure.length()
    );
    Some(
        finding(ctx, landing, verdict, what, figure.source())
            .measured(tilt, limit, "in")
            .known_to(error.to_inches())
            .line(format!("the riser leans {:.3} in per ft {low}", 12.0 * level.norm() / up.abs()))
            .line(format!("over the {} in ring {tilt:.3} in, low {low}", ring.value))
            .help(format!("plumb the riser under it, or shim its low edge by {sixteenths}")),
    )
}

fn finding(
    ctx: &Ctx<'_>,
    landing: &Landing,
    verdict: Verdict,
    what: String,
    source: crate::source::Source,
) -> Finding {
    let fixture = &ctx.job.fixtures[landing.fixture].name;
    Finding::new(RULE.id, verdict, ctx.placement(), what, source)
        .on([fixture, ctx.label(landing.part), &ctx.rough_in.run(landing.run).label])
        .at(landing.at)
}
