//! A lavatory with too little room beside it.

use crate::bore::telling::short;
use crate::closet::Closet;
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use nalgebra::Vector2;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::label::Label;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// From the centre of each lavatory's drain to the nearest wall or keep-out on its left and right there is as much as the
    /// code asks.
    ///
    /// # Why
    ///
    /// One who bends over a bowl needs room for both elbows.
    ///
    /// # Source
    ///
    /// The code's clearance beside a lavatory, where it has one: the residential code's text, which its own figure (4 in from
    /// the edge) does not match; the text governs. A code without a number is not held to one.
    ///
    /// # Limits
    ///
    /// It knows the walls and keep-outs of the job and no others, and takes the drain for the middle of the bowl. A keep-out
    /// that the lavatory itself stands in, such as its own vanity, is none. What hangs higher than
    /// `lavatory-room-height` is not in the way. A lavatory that names no wall is not looked at.
    ///
    /// # Example
    ///
    /// A lavatory 14 in from the end wall: 15 are needed.
    "lavatory-too-near-side", Room, Code,
    "a lavatory has too little room beside it",
    figures: ["lavatory-reach", "lavatory-room-height"],
    finds: ["lavatory-side"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("lavatory-side") else { return };
    for lavatory in Closet::of_kind(ctx, FixtureKind::Lavatory) {
        for (side, sign) in [("left", 1.0), ("right", -1.0)] {
            let near = nearest(ctx, &lavatory, sign);
            out.extend(near.and_then(|near| judge(ctx, &lavatory, near, figure, (side, sign))));
        }
    }
}

/// The nearest thing on one side, no farther out than the lavatory reaches.
fn nearest<'a>(ctx: &Ctx<'a>, lavatory: &Closet<'a>, sign: f64) -> Option<(f64, &'a Label)> {
    let height = ctx.profile.figure("lavatory-room-height").length();
    let reach = ctx.profile.figure("lavatory-reach.usual").value;
    let beside = lavatory.obstacles(ctx, height).into_iter().filter_map(|obstacle| {
        let extent = obstacle.within((f64::NEG_INFINITY, f64::INFINITY), (lavatory.behind(), reach))?;
        let (low, high) = if sign > 0.0 { extent.x } else { (-extent.x.1, -extent.x.0) };
        // What lies across its centre is its own vanity, or what stands before it.
        (low >= 0.0 && high > 0.0).then_some((low, obstacle.label))
    });
    beside.min_by(|a, b| a.0.total_cmp(&b.0))
}

fn judge(
    ctx: &Ctx<'_>,
    lavatory: &Closet<'_>,
    (by, what): (f64, &Label),
    figure: &Figure,
    (side, sign): (&str, f64),
) -> Option<Finding> {
    let limit = Limit::AtLeast(figure.value);
    let error = lavatory.error(ctx, Vector2::new(sign, 0.0)).to_inches();
    let verdict = ctx.verdict(limit.margin(by), error)?;
    let off = Length::inches(by);
    let told = format!(
        "the centre of {} is {off} from {what} on its {side}, needs at least {}",
        lavatory.name(),
        figure.length()
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), told, figure.source())
            .on(lavatory.labels(ctx))
            .on([what])
            .at(lavatory.landing.at)
            .measured(by, limit, "in")
            .known_to(error)
            .line(format!("{by:.3} in, at least {:.3}: {}", figure.value, short(figure.length() - off)))
            .help(format!("move it {} away from {what}", figure.length() - off)),
    )
}
