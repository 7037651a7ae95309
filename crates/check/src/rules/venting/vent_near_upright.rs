//! A vent that ends close beside a wall or a chimney that rises over the roof.

use super::lines::names;
use super::vent_ends_too_low::over_roof;
use crate::bore::telling::short;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::thousandths;
use crate::obstacle::Obstacle;
use crate::rule::rule;
use crate::vent::AirEnd;
use truefall_model::place::PartKind;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where the code says so, a vent through the roof ends so far from each upright surface that rises over the roof beside
    /// it: a wall, a chimney, a parapet.
    ///
    /// # Why
    ///
    /// Snow drifts and water runs down against what stands upright, and the flashing has no room.
    ///
    /// # Source
    ///
    /// The code's section on where vents end; the other codes held here have no such distance.
    ///
    /// # Limits
    ///
    /// It knows the walls and keep-outs of the job; a chimney or a dormer's cheek is written as a keep-out. Distance is level, from
    /// the outside of the pipe. What ends under the roof, or lower than the code's distance below the vent's end, is not looked at.
    ///
    /// # Example
    ///
    /// A vent that comes up 9 in off a chimney: 12 are needed.
    "vent-near-upright", Venting, Code,
    "a vent ends too near an upright surface",
    figures: [],
    finds: ["vent-upright-away"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("vent-upright-away") else { return };
    let limit = Limit::AtLeast(figure.value);
    let framed = &ctx.rough_in.framed;
    for (part, fixtures) in ctx.vents.ends(AirEnd::Roof) {
        let Some((end, _)) = over_roof(ctx, part) else { continue };
        let PartKind::Piece { outside, .. } = ctx.rough_in.part(part).kind else { continue };
        let Some((_, roof)) = framed.roof_over(end.x, end.y) else { continue };
        let rises = |o: &Obstacle<'_>| {
            let near = o.nearest(end.xy());
            let over = framed.roof_over(near.x, near.y).map_or(roof, |r| r.1).max(end.z - figure.value);
            Obstacle::between(framed, over, f64::INFINITY).iter().any(|other| other.label == o.label)
        };
        let nearest = Obstacle::between(framed, (end.z - figure.value).min(roof), f64::INFINITY)
            .into_iter()
            .filter(rises)
            .map(|o| ((o.nearest(end.xy()) - end.xy()).norm() - outside.to_inches() / 2.0, o.label))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((off, beside)) = nearest else { continue };
        let Some(verdict) = ctx.verdict(limit.margin(off), 0.0) else { continue };
        let what = format!(
            "the vent of {} ends {} off {beside}, which rises over the roof; at least {}",
            names(ctx, &fixtures),
            Length::inches(off),
            figure.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([ctx.label(part), ctx.run_of(part), beside])
                .at(end)
                .measured(off, limit, "in")
                .line(format!("level from the outside of the pipe to {beside}: {}", thousandths(off)))
                .line(short(Length::inches(figure.value - off)))
                .help(format!("take it through the roof {} farther off", Length::inches(figure.value - off))),
        );
    }
}
