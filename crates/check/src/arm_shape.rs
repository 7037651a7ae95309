//! What a trap arm does on its way to the vent: whether it turns down, and how its vent's fitting takes it in.

use crate::arm::Arm;
use crate::ctx::Ctx;
use crate::flow::is_down;
use nalgebra::Point3;
use truefall_model::catalog::family::Family;
use truefall_model::place::PartId;
use truefall_model::units::Length;

/// A vent that opens above the place where the arm's own water runs down past it.
#[derive(Debug, Clone, Copy)]
pub struct LowEntry {
    /// The wye or combination.
    pub fitting: PartId,
    /// Where the arm's centre line meets that of the run.
    pub at: Point3<f64>,
    /// From over the weir down to that point.
    pub fall: Length,
}

/// How an arm comes into the fitting of its vent, where that is a wye or combination on a vertical entered by its
/// branch; none elsewhere.
pub fn low_entry(ctx: &Ctx<'_>, arm: &Arm) -> Option<LowEntry> {
    let rough_in = ctx.rough_in;
    let fitting = arm.vent.as_ref()?.fitting;
    let pattern = rough_in.part(fitting).pattern()?;
    if !matches!(pattern.family, Family::Wye | Family::Combination) {
        return None;
    }
    let leave = rough_in.joint(rough_in.network.down[fitting.0 as usize]?).high.1;
    let (joint, _) =
        rough_in.network.above(fitting).find(|(joint, _)| rough_in.network.beyond(*joint, arm.trap))?;
    let branch = rough_in.joint(joint).low.1;
    let is_branch = pattern.ports[branch].name.as_str() == "branch";
    if !is_branch || is_down(ctx, ctx.placed.axis(rough_in, fitting, leave)) != Some(true) {
        return None;
    }
    // In a combination the branch's axis turns down by 45 degrees before it meets the run's.
    let drop = pattern.turn.map_or(0.0, |turn| turn.coords.norm());
    let at = ctx.placed.origin(fitting) + ctx.placed.axis(rough_in, fitting, leave) * drop;
    Some(LowEntry { fitting, at, fall: Length::inches(start_z(ctx, arm) - at.z) })
}

/// The first step of an arm that turns down before its vent, by index, and how far the arm has fallen at its end.
///
/// Of an arm whose vent was not found, only the way to the first fitting that others join is looked at: past it a vent
/// may come in that the job does not know. The step into a wye or combination that stands on a vertical is
/// [`low_entry`]'s.
pub fn turns_down(ctx: &Ctx<'_>, arm: &Arm) -> Option<(usize, Length)> {
    let steep = ctx.profile.figure("trap-arm-turn-down").grade();
    let joined = |part: PartId| ctx.rough_in.network.above(part).count() > 1;
    let most = match (&arm.vent, low_entry(ctx, arm)) {
        (Some(_), Some(_)) => arm.steps.len().saturating_sub(1),
        (Some(_), None) => arm.steps.len(),
        (None, _) => arm.steps.iter().position(|s| joined(s.to)).map_or(arm.steps.len(), |i| i + 1),
    };
    let mut fallen = Length::ZERO;
    for (i, step) in arm.steps[..most].iter().enumerate() {
        fallen += step.fall;
        if step.fall > steep.over(step.level) && step.fall > Length::ZERO {
            // What it falls in all before the vent counts, not only as far as this step.
            let rest: Length = arm.steps[i + 1..most].iter().map(|s| s.fall).sum();
            return Some((i, fallen + rest));
        }
    }
    None
}

/// Where the arm's centre line is over the weir.
fn start_z(ctx: &Ctx<'_>, arm: &Arm) -> f64 {
    let first =
        arm.steps.first().map_or(arm.weir.z, |step| ctx.placed.origin(step.to).z + step.fall.to_inches());
    // The last step ends at the vent's inner edge and not at its fitting's origin.
    match (&arm.vent, arm.steps.len()) {
        (Some(vent), 1) => vent.edge.z + arm.steps[0].fall.to_inches(),
        _ => first,
    }
}
