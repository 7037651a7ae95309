//! A cleanout that lets a cable in against the flow only.

use crate::cleanout::Cleanout;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// The way straight into a cleanout and the way the drain flows off from its fitting make no greater angle than the code
    /// takes: with the flow, or square to it.
    ///
    /// # Why
    ///
    /// A cable that goes in against the flow runs up the drain, away from the stoppage, and its head can't be turned.
    ///
    /// # Source
    ///
    /// The code's section on how cleanouts are set. The angle is that of a tee's branch, which the codes take.
    ///
    /// # Limits
    ///
    /// A two-way cleanout where drain and sewer meet, which may open both ways, is listed on the stack and not looked at; nor
    /// is any other that is in no plugged port. What is behind a long branch that ends in a plug is not looked at.
    ///
    /// # Example
    ///
    /// A wye put in upside down, its plugged branch looking down the drain: the cable goes in at 135 degrees to the flow.
    "cleanout-against-flow", Cleanouts, Code,
    "a cleanout opens against the flow",
    figures: ["cleanout-off-flow"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("cleanout-off-flow");
    let limit = Limit::AtMost(figure.value);
    for cleanout in Cleanout::each(ctx) {
        let Some(angle) = off_flow(ctx, &cleanout) else { continue };
        let Some(verdict) = ctx.verdict(limit.margin(angle), 0.0) else { continue };
        let (name, run) = (ctx.label(cleanout.part), ctx.run_of(cleanout.part));
        let what = format!(
            "the cleanout {name} opens against the flow: the way in turns {angle:.0} degrees off it, at most {}",
            figure.value
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, run])
                .at(ctx.placed.origin(cleanout.part))
                .measured(angle, limit, "deg")
                .line(format!(
                    "straight into the plugged port, against the way {name} drains: {angle:.1} degrees"
                ))
                .help(format!("turn {name} end for end, so that its plug looks up the drain")),
        );
    }
}

/// Degrees between the way into a cleanout and the way the drain leaves its fitting.
fn off_flow(ctx: &Ctx<'_>, cleanout: &Cleanout) -> Option<f64> {
    let (_, opens) = cleanout.opening(ctx)?;
    let below = ctx.rough_in.network.below(cleanout.part)?;
    let port = ctx.vents.air.links_of(cleanout.part).iter().find(|l| l.part == below)?.port;
    let flow = ctx.placed.axis(ctx.rough_in, cleanout.part, port);
    let degrees = (-opens).dot(&flow).clamp(-1.0, 1.0).acos().to_degrees();
    // A tee's branch is square to its run but for the last bits of two turned vectors.
    Some((degrees * 1e9).round() / 1e9)
}
