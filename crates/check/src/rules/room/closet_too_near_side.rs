//! A closet too near to what stands beside it.

use crate::bore::telling::short;
use crate::closet::Closet;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use nalgebra::Vector2;
use truefall_model::job::fixture::{Fixture, FixtureKind};
use truefall_model::label::Label;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// From the centre of each closet's flange, square to either side, to the finished face of any wall on its floor and to
    /// the box of any keep-out, from its own wall out to the bowl's front, is no less than the code asks.
    ///
    /// # Why
    ///
    /// A closet that is set cannot be moved sideways, and the wall is framed before anyone sits down.
    ///
    /// # Source
    ///
    /// The code's clearance for a water closet, from its centre to a side wall, partition, vanity or other obstruction.
    ///
    /// # Limits
    ///
    /// It knows the walls and keep-outs of the job and no others: a wall nobody wrote down is not missed. Keep-outs hung
    /// higher than the profile's `closet-room-height` are left out, doors in a wall are taken as wall, and how wide a vanity
    /// or a tub is must be said as a keep-out. In a house with walls a closet that names none is told as not checked, for its
    /// front and its rough-in too. A distance short by less than the survey's error is a question.
    ///
    /// # Example
    ///
    /// A flange 15 in off the bare studs of the end wall is 14-1/16 in off its tile: 15 is needed.
    "closet-too-near-side", Room, Code,
    "a closet is too near to what stands beside it",
    figures: ["closet-reach", "closet-room-height", "closet-side"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let closets = Closet::each(ctx);
    let unnamed = |f: &&Fixture| f.kind == FixtureKind::Closet && f.wall.is_none();
    let any_walls = !ctx.rough_in.framed.walls.is_empty();
    for fixture in ctx.job.fixtures.iter().filter(|f| any_walls && unnamed(f)) {
        let what = format!("the room round {} can't be told: give the wall it stands against", fixture.name);
        let source = ctx.profile.figure("closet-side").source();
        out.push(
            Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, source).on([&fixture.name]),
        );
    }
    for closet in &closets {
        let (left, right) = nearest(ctx, closet);
        out.extend(left.and_then(|near| judge(ctx, closet, near, "left", 1.0)));
        out.extend(right.and_then(|near| judge(ctx, closet, near, "right", -1.0)));
    }
}

/// What stands beside a closet and how far off.
type Near<'a> = (f64, &'a Label);

/// The nearest thing on its left and on its right. What stands right in front of the bowl is for the rule on its front.
fn nearest<'a>(ctx: &Ctx<'a>, closet: &Closet<'a>) -> (Option<Near<'a>>, Option<Near<'a>>) {
    let height = ctx.profile.figure("closet-room-height").length();
    let reach = ctx.profile.figure("closet-reach.elongated").length().to_inches();
    let (mut left, mut right): (Option<Near<'a>>, Option<Near<'a>>) = (None, None);
    let closer = |now: &Option<Near<'a>>, by: f64| now.as_ref().is_none_or(|(least, _)| by < *least);
    for obstacle in closet.obstacles(ctx, height) {
        let everywhere = (f64::NEG_INFINITY, f64::INFINITY);
        let Some(extent) = obstacle.within(everywhere, (closet.behind(), reach)) else { continue };
        let (low, high) = extent.x;
        let astride = low < 0.0 && high > 0.0;
        if astride && extent.y.0 >= 0.0 {
            continue;
        }
        if (astride || low >= 0.0) && closer(&left, low.max(0.0)) {
            left = Some((low.max(0.0), obstacle.label));
        } else if high <= 0.0 && closer(&right, -high) {
            right = Some((-high, obstacle.label));
        }
    }
    (left, right)
}

fn judge<'a>(ctx: &Ctx<'a>, closet: &Closet<'a>, near: Near<'a>, side: &str, sign: f64) -> Option<Finding> {
    let (by, what) = near;
    let figure = ctx.profile.figure("closet-side");
    let limit = Limit::AtLeast(figure.value);
    let error = closet.error(ctx, Vector2::new(sign, 0.0));
    let verdict = ctx.verdict(limit.margin(by), error.to_inches())?;
    let off = Length::inches(by);
    let told = format!(
        "the centre of {} is {off} from {what} on its {side}, needs at least {}",
        closet.name(),
        figure.length()
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), told, figure.source())
            .on(closet.labels(ctx))
            .on([what])
            .at(closet.landing.at)
            .measured(by, limit, "in")
            .known_to(error.to_inches())
            .line(format!(
                "from the flange's centre, square to the {side}, to the face of {what}: {by:.3} in"
            ))
            .line(format!("{by:.3} in, at least {:.3}: {}", figure.value, short(figure.length() - off)))
            .help(format!("move the flange {} away from {what}", figure.length() - off)),
    )
}
