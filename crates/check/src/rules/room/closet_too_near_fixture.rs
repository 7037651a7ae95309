//! Two fixtures side by side too near to each other.

use crate::bore::telling::short;
use crate::closet::Closet;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use nalgebra::Vector2;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::Landing;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// From a closet's centre to the centre of the next closet or lavatory on the same wall, along the wall, is no less than
    /// the code asks.
    ///
    /// # Why
    ///
    /// Elbows. The code counts from centre to centre because a bowl's or a basin's width is not known at rough-in.
    ///
    /// # Source
    ///
    /// The code's clearance between adjacent fixtures; one code asks it of like fixtures only, and its profile then has no
    /// figure for a lavatory beside a closet.
    ///
    /// # Limits
    ///
    /// Only fixtures that name the same wall and floor are held to each other. A tub's or a shower's drain is not its centre,
    /// so they are not: write their outline down as a keep-out, and the clearance to the side holds them. A basin is taken
    /// to have its drain in its middle.
    ///
    /// # Example
    ///
    /// A closet at 5 ft along the wall and a lavatory at 3 ft are 24 in apart: 30 are needed.
    "closet-too-near-fixture", Room, Code,
    "a closet is too near to the next fixture",
    figures: ["closet-apart"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let closets = Closet::each(ctx);
    for closet in &closets {
        for other in &ctx.placed.landings {
            // Two closets are told once.
            let is_closet = ctx.job.fixtures[other.fixture].kind == FixtureKind::Closet;
            if other.fixture != closet.landing.fixture
                && !(is_closet && other.fixture < closet.landing.fixture)
            {
                out.extend(judge(ctx, closet, other));
            }
        }
    }
}

fn judge(ctx: &Ctx<'_>, closet: &Closet<'_>, other: &Landing) -> Option<Finding> {
    let next = &ctx.job.fixtures[other.fixture];
    let same = next.wall == closet.fixture.wall && next.floor == closet.fixture.floor;
    let figure = ctx.profile.find(&format!("closet-apart.{}", next.kind.word())).filter(|_| same)?;
    let along = closet.local(other.at.xy()).x;
    let apart = along.abs();
    let limit = Limit::AtLeast(figure.value);
    // Both hang on what was surveyed; where it is one stack they move together, so the larger error is enough.
    let error = closet.error(ctx, Vector2::new(1.0, 0.0));
    let verdict = ctx.verdict(limit.margin(apart), error.to_inches())?;
    let missing = figure.length() - Length::inches(apart);
    let what = format!(
        "{} and {} are {} apart from centre to centre, need at least {}",
        closet.name(),
        next.name,
        Length::inches(apart),
        figure.length()
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on(closet.labels(ctx))
            .on([&next.name])
            .at(closet.landing.at)
            .measured(apart, limit, "in")
            .known_to(error.to_inches())
            .line(format!("along {} from centre to centre: {apart:.3} in", closet.wall.label))
            .line(format!("{apart:.3} in, at least {:.3}: {}", figure.value, short(missing)))
            .help(format!("move one of them {} away", missing)),
    )
}
