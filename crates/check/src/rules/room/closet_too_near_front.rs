//! A closet with too little room in front.

use crate::bore::telling::short;
use crate::closet::Closet;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use nalgebra::Vector2;
use truefall_model::label::Label;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// From the front of each closet's bowl straight out to the nearest wall or keep-out that stands before it there is
    /// as much room as the code asks. Where the front is, is taken from the flange: a round bowl ends nearer to it than a
    /// long one.
    ///
    /// # Why
    ///
    /// The room in front is what is left when wall, rough-in and bowl are added up, and nobody adds them up before the
    /// floor is bored.
    ///
    /// # Source
    ///
    /// The code's clearance in front of a water closet; how far bowls reach is common practice, not code.
    ///
    /// # Limits
    ///
    /// It knows the walls and keep-outs of the job and no others; doors and what other fixtures take up are not known. A
    /// clearance that is met with a round bowl and missed with a long one is a question: the closet's own sheet decides.
    ///
    /// # Example
    ///
    /// A flange 12 in off one wall and 39 in off the one across: 39 less 18 for a long bowl leaves 21, which passes. Under a
    /// code that asks 24 a round bowl, with 23 left, is tagged too.
    "closet-too-near-front", Room, Code,
    "a closet has too little room in front",
    figures: ["closet-bowl-width", "closet-front", "closet-reach", "closet-room-height"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for closet in Closet::each(ctx) {
        out.extend(judge(ctx, &closet));
    }
}

fn judge(ctx: &Ctx<'_>, closet: &Closet<'_>) -> Option<Finding> {
    let (across, before) = nearest(ctx, closet)?;
    let figure = ctx.profile.figure("closet-front");
    let limit = Limit::AtLeast(figure.value);
    let reach = |shape: &str| ctx.profile.figure(&format!("closet-reach.{shape}")).value;
    let (round, long) = (across - reach("round"), across - reach("elongated"));
    let error = closet.error(ctx, Vector2::new(0.0, 1.0));
    let (verdict, clear, shape) = match Verdict::of(limit.margin(round), error.to_inches()) {
        Some(verdict) => (verdict, round, "even a round bowl"),
        None if limit.allows(long) => (ctx.verdict(limit.margin(long), 0.0)?, long, "a long bowl"),
        None => (Verdict::Ask, long, "a long bowl"),
    };
    let missing = figure.length() - Length::inches(clear);
    let what = format!(
        "{} has {} between the front of {shape} and {before}, needs at least {}",
        closet.name(),
        Length::inches(clear),
        figure.length()
    );
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on(closet.labels(ctx))
        .on([before])
        .at(closet.landing.at)
        .measured(clear, limit, "in")
        .known_to(error.to_inches())
        .line(format!("from the flange's centre straight out to {before}: {across:.3} in"))
        .line(format!("less {:.3} to the front of a round bowl: {round:.3} in", reach("round")))
        .line(format!("less {:.3} to the front of a long bowl: {long:.3} in", reach("elongated")))
        .line(format!("{clear:.3} in, at least {:.3}: {}", figure.value, short(missing)));
    finding = finding.help(match verdict {
        Verdict::Ask => format!(
            "a bowl that reaches no farther than {} from the flange passes: read the closet's sheet",
            Length::inches(across - figure.value)
        ),
        _ => format!("{} has to stand {} farther off", before, missing),
    });
    Some(finding)
}

/// The nearest thing straight before the bowl, from the flange's centre.
fn nearest<'a>(ctx: &Ctx<'a>, closet: &Closet<'a>) -> Option<(f64, &'a Label)> {
    let height = ctx.profile.figure("closet-room-height").length();
    let half = ctx.profile.figure("closet-bowl-width").value / 2.0;
    let found = closet.obstacles(ctx, height);
    let before =
        found.iter().filter_map(|o| Some((o.within((-half, half), (0.0, f64::INFINITY))?.y.0, o.label)));
    before.min_by(|a, b| a.0.total_cmp(&b.0))
}
