//! A trap arm that turns more than it may without a cleanout.

use crate::arm::{Arm, arms};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::family;
use crate::rule::rule;
use crate::source::Source;
use nalgebra::{Point3, Vector2};
use truefall_model::catalog::family::{DRAINAGE_PITCH, Family};
use truefall_model::framing::provided::Provided;
use truefall_model::place::PartId;

rule! {
    /// # What it checks
    ///
    /// The turns on the plan of a trap arm, from trap to vent, come to no more than the code or practice allows for its
    /// size without a cleanout in it.
    ///
    /// # Why
    ///
    /// A cable sent in from the trap gets round one flat 90, hardly round two.
    ///
    /// # Source
    ///
    /// The UPC gives degrees for trap arms. The IRC and IPC have only the general rule on cleanouts at changes of
    /// direction, from which a removable trap frees; there it is common practice, and a question.
    ///
    /// # Limits
    ///
    /// Only turns on the plan count, bends by their names; steps steeper than 45 degrees are passed over. A cleanout tee in the arm starts the sum anew, a
    /// cleanout provided at the arm or a fitting of it ends the matter. Whether a trap can be taken off is not known.
    ///
    /// # Example
    ///
    /// A sink's arm goes round a corner and back through two 1/4 bends: 180 degrees, at most 90.
    "trap-arm-bends-too-much", Traps, Code,
    "a trap arm turns too often without a cleanout",
    figures: [],
    finds: ["trap-arm-bends"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for arm in arms(ctx).iter().filter(|arm| arm.vent.is_some() && !has_cleanout(ctx, arm)) {
        out.extend(judge(ctx, arm));
    }
}

fn judge(ctx: &Ctx<'_>, arm: &Arm) -> Option<Finding> {
    let figure = ctx.profile.for_size("trap-arm-bends", arm.size)?;
    let turns = turns(ctx, arm);
    let mut worst: &[(PartId, f64)] = &[];
    let sum = |turns: &[(PartId, f64)]| turns.iter().map(|t| t.1).sum::<f64>();
    for part in turns.split(|t| family(ctx, t.0) == Some(Family::CleanoutTee)) {
        worst = if sum(part) > sum(worst) { part } else { worst };
    }
    let limit = Limit::AtMost(figure.value);
    let turned = sum(worst).round();
    let verdict = match ctx.verdict(limit.margin(turned), 0.0)? {
        Verdict::RedTag if matches!(figure.source, Source::House { .. }) => Verdict::Ask,
        verdict => verdict,
    };
    let name = &ctx.job.fixtures[arm.fixture].name;
    let what = format!(
        "the {} in trap arm of {name} turns {turned} degrees on the plan, at most {} without a cleanout",
        arm.size, figure.value
    );
    let line = |(part, turn): &(PartId, f64)| format!("at {} {turn:.1} degrees", ctx.label(*part));
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([name, ctx.label(arm.trap)])
            .on(worst.iter().map(|t| ctx.label(t.0)))
            .at(worst.last().map_or(arm.weir, |t| ctx.placed.origin(t.0)))
            .measured(turned, limit, "deg")
            .lines(worst.iter().map(line))
            .line(format!("together {turned}, at most {}", figure.value))
            .help("put a cleanout tee in the arm, or bring the vent to this side of the last bend"),
    )
}

/// The fittings between trap and vent with the turn each makes on the plan, in degrees.
fn turns(ctx: &Ctx<'_>, arm: &Arm) -> Vec<(PartId, f64)> {
    let has_weir = ctx.rough_in.part(arm.trap).pattern().is_some_and(|p| p.weir.is_some());
    let start = if has_weir { ctx.placed.origin(arm.trap) } else { arm.weir };
    let mut points: Vec<(Option<PartId>, Point3<f64>)> = vec![(None, start)];
    points.extend(arm.steps.iter().map(|s| (Some(s.to), ctx.placed.origin(s.to))));
    let ways: Vec<(Option<PartId>, Vector2<f64>)> = points
        .windows(2)
        .map(|pair| (pair[0].0, pair[1].1 - pair[0].1))
        .filter(|(_, way)| way.xy().norm() > way.z.abs())
        .map(|(at, way)| (at, way.xy()))
        .collect();
    ways.windows(2).filter_map(|pair| turn(ctx, pair[1].0?, pair[0].1, pair[1].1)).collect()
}

/// The turn at a fitting between two ways on the plan. Codes count a bend by its name: what its pitch adds to the turn or
/// takes off is no turn.
fn turn(ctx: &Ctx<'_>, at: PartId, from: Vector2<f64>, to: Vector2<f64>) -> Option<(PartId, f64)> {
    let turn = from.angle(&to).to_degrees();
    let bend = family(ctx, at).and_then(Family::bend).map(|b| b.to_degrees());
    let pitch = (DRAINAGE_PITCH.to_per_foot() / 12.0).atan().to_degrees();
    Some((at, bend.filter(|b| (b - turn).abs() <= 2.0 * pitch).unwrap_or(turn)))
}

fn has_cleanout(ctx: &Ctx<'_>, arm: &Arm) -> bool {
    let run = &ctx.rough_in.run(ctx.rough_in.part(arm.trap).run).label;
    ctx.job.provided.iter().any(|provided| {
        let Provided::Cleanout { at } = provided else { return false };
        at == run || at == ctx.label(arm.trap) || arm.steps.iter().any(|s| ctx.label(s.to) == at)
    })
}
