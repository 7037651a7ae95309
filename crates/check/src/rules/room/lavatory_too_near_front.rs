//! A lavatory with too little room in front.

use crate::bore::telling::short;
use crate::closet::Closet;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use nalgebra::Vector2;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::label::Label;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// From the front of each lavatory straight out to the nearest wall or keep-out there is as much room as the code asks.
    /// The front is taken from the finished wall: a small bowl ends nearer to it than a usual one.
    ///
    /// # Why
    ///
    /// Two walls, a bowl and one who stands before it are added up before the drain is stubbed out, or never.
    ///
    /// # Source
    ///
    /// The code's clearance in front of a lavatory; how far bowls reach is common practice, not code.
    ///
    /// # Limits
    ///
    /// It knows the walls and keep-outs of the job and no others; doors and what other fixtures take up are not known. A
    /// clearance that is met with a small bowl and missed with a usual one is a question. In front of tubs and showers, whose
    /// edge the job does not know, nothing is measured. A lavatory that names no wall is not looked at.
    ///
    /// # Example
    ///
    /// The wall across is 43 in off: less 22 for a usual bowl that is 21, which passes; under a code that asks 24 it is a
    /// question.
    "lavatory-too-near-front", Room, Code,
    "a lavatory has too little room in front",
    figures: ["lavatory-front", "lavatory-reach", "lavatory-room-height", "lavatory-width"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for lavatory in Closet::of_kind(ctx, FixtureKind::Lavatory) {
        out.extend(judge(ctx, &lavatory));
    }
}

fn judge(ctx: &Ctx<'_>, lavatory: &Closet<'_>) -> Option<Finding> {
    let (off, before) = nearest(ctx, lavatory)?;
    // The drain may land in the wall or stand out of it: the bowl hangs on the finished face.
    let across = off + lavatory.rough().to_inches();
    let figure = ctx.profile.figure("lavatory-front");
    let limit = Limit::AtLeast(figure.value);
    let reach = |bowl: &str| ctx.profile.figure(&format!("lavatory-reach.{bowl}")).value;
    let (small, usual) = (across - reach("small"), across - reach("usual"));
    let error = lavatory.error(ctx, Vector2::new(0.0, 1.0)).to_inches();
    let (verdict, clear, bowl) = match Verdict::of(limit.margin(small), error) {
        Some(verdict) => (verdict, small, "even a small bowl"),
        None if limit.allows(usual) => (ctx.verdict(limit.margin(usual), 0.0)?, usual, "a usual bowl"),
        None => (Verdict::Ask, usual, "a usual bowl"),
    };
    let missing = figure.length() - Length::inches(clear);
    let what = format!(
        "{} has {} between the front of {bowl} and {before}, needs at least {}",
        lavatory.name(),
        Length::inches(clear),
        figure.length()
    );
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on(lavatory.labels(ctx))
        .on([before])
        .at(lavatory.landing.at)
        .measured(clear, limit, "in")
        .known_to(error)
        .line(format!("from the finished wall straight out to {before}: {across:.3} in"))
        .line(format!("less {:.3} for a small bowl: {small:.3} in", reach("small")))
        .line(format!("less {:.3} for a usual bowl: {usual:.3} in", reach("usual")))
        .line(format!("{clear:.3} in, at least {:.3}: {}", figure.value, short(missing)));
    Some(finding.help(match verdict {
        Verdict::Ask => format!(
            "a bowl that reaches no farther than {} out of the wall passes: read its sheet",
            Length::inches(across - figure.value)
        ),
        _ => format!("{before} has to stand {missing} farther off"),
    }))
}

/// The nearest thing straight before it, from where its drain lands; what it stands in itself is none.
fn nearest<'a>(ctx: &Ctx<'a>, lavatory: &Closet<'a>) -> Option<(f64, &'a Label)> {
    let height = ctx.profile.figure("lavatory-room-height").length();
    let half = ctx.profile.figure("lavatory-width").value / 2.0;
    let found = lavatory.obstacles(ctx, height);
    let before = found.iter().filter_map(|o| {
        let nearest = o.within((-half, half), (lavatory.behind(), f64::INFINITY))?.y.0;
        (nearest > lavatory.behind() + 1.0).then_some((nearest, o.label))
    });
    before.min_by(|a, b| a.0.total_cmp(&b.0))
}
