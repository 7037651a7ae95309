//! What a stack's lean does, as sums on a stud and in wall words.

use crate::ctx::Ctx;
use crate::number::{taken_off, thousandths};
use nalgebra::{Matrix2, Point3, UnitVector2, Vector2, Vector3};
use truefall_model::job::Placement;
use truefall_model::job::clock::Clock;
use truefall_model::place::{LegId, PartId, Run, RunKind};
use truefall_model::survey::Lean;
use truefall_model::units::{Angle, Grade, Length};

/// The lean of the stack a leg hangs on, unless a correction takes it out before it reaches the leg.
fn lean_at<'a>(ctx: &Ctx<'a>, leg: LegId) -> Option<&'a Lean> {
    let leg = ctx.rough_in.leg(leg);
    let RunKind::Stack { lean: Some(lean), corrected, .. } = &ctx.rough_in.stack_of(leg.run).kind else {
        return None;
    };
    let taken_out = corrected.iter().any(|j| ctx.rough_in.network.beyond(*j, leg.low));
    (!taken_out).then_some(lean)
}

/// Standard error of a leg's grade in the placement looked at.
pub fn grade_error(ctx: &Ctx<'_>, leg: LegId) -> Grade {
    match ctx.placement() {
        Placement::Drawn => Grade::LEVEL,
        Placement::Found => ctx.rough_in.grade_error(leg),
    }
}

/// How a leg comes to its grade, line by line.
pub fn grade_sum(ctx: &Ctx<'_>, leg: LegId) -> Vec<String> {
    let rough_in = ctx.rough_in;
    let (low, high) = rough_in.leg_ends(ctx.placed, leg);
    let run = Length::inches((high - low).xy().norm());
    let mut sum = Vec::new();
    if let Some(drawn) = rough_in.grade(&rough_in.drawn, leg) {
        sum.push(match rough_in.leg(leg).target {
            Some(target) => format!("aimed at {target}; the parts as drawn make {drawn}"),
            None => format!("the parts as drawn make {drawn}"),
        });
        if ctx.placement() == Placement::Found {
            sum.extend(found_sum(ctx, leg, drawn));
        }
    }
    if let Some(grade) = rough_in.grade(ctx.placed, leg) {
        let rise = grade.over(run);
        sum.push(format!(
            "over {run} level from centre to centre that is {} in",
            thousandths(rise.to_inches())
        ));
    }
    sum
}

/// The two lines that take a lean off a drawn grade.
pub fn found_sum(ctx: &Ctx<'_>, leg: LegId, drawn: Grade) -> Vec<String> {
    let Some(found) = ctx.rough_in.grade(&ctx.rough_in.found, leg) else { return Vec::new() };
    let axis = ctx.rough_in.leg_axis(&ctx.rough_in.drawn, leg).xy();
    let (Some(lean), Some(heading)) = (lean_at(ctx, leg), UnitVector2::try_new(axis, 1e-9)) else {
        return vec![format!("as found it makes {found}")];
    };
    let (size, along) = (lean.lean_in_per_ft(), lean.along(heading));
    let away = lean.heading().map_or(Angle::ZERO, |h| Angle::radians(angle_between(*h, *heading)));
    vec![
        format!(
            "the stack leans {size:.3} in per ft, {away} off this leg's heading: {size:.3} x cos {away} = {}",
            thousandths(along.in_per_ft)
        ),
        format!(
            "as found: {}{} = {} in per ft, ± {:.3} (turned exactly: {})",
            thousandths(drawn.to_per_foot()),
            taken_off(along.in_per_ft),
            thousandths(drawn.to_per_foot() - along.in_per_ft),
            along.error_in_per_ft,
            thousandths(found.to_per_foot())
        ),
    ]
}

fn angle_between(a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    a.perp(&b).abs().atan2(a.dot(&b))
}

/// A heading on the plan in words: the wall it points to, and its clock.
pub fn heading_words(ctx: &Ctx<'_>, from: Point3<f64>, heading: Vector2<f64>) -> String {
    let clock = Clock::at(Angle::radians(heading.x.atan2(heading.y)));
    match ctx.rough_in.framed.wall_facing(from, heading) {
        Some(wall) if wall.label.as_str().ends_with("wall") => {
            format!("toward the {} ({clock} on the plan)", wall.label)
        }
        Some(wall) => format!("toward the {} wall ({clock} on the plan)", wall.label),
        None => format!("toward {clock} on the plan"),
    }
}

/// A standard error, in inches, of where a point of a part lies along a direction, from the survey of its stack.
///
/// The whole assembly turns about the base by the error of the lean; beyond a correction only the joint that was
/// corrected moves with it.
pub fn position_error(ctx: &Ctx<'_>, part: PartId, at: Point3<f64>, along: Vector3<f64>) -> Length {
    let Some((stack, lean, base)) = surveyed(ctx, part) else { return Length::ZERO };
    let RunKind::Stack { corrected, .. } = &stack.kind else { return Length::ZERO };
    let rough_in = ctx.rough_in;
    let hangs_on = corrected.iter().find(|j| rough_in.network.beyond(**j, part)).map(|j| {
        let (high, port) = rough_in.joint(*j).high;
        ctx.placed.stop(rough_in, high, port)
    });
    let arm = hangs_on.unwrap_or(at) - ctx.placed.origin(base);
    Length::inches(turn_error(arm, along, lean.covariance()))
}

/// A standard error of how far a part leans along a direction on the plan, from the survey of its stack; none beyond a
/// correction.
pub fn tilt_error(ctx: &Ctx<'_>, part: PartId, along: Vector2<f64>) -> Grade {
    let Some((stack, lean, _)) = surveyed(ctx, part) else { return Grade::LEVEL };
    let RunKind::Stack { corrected, .. } = &stack.kind else { return Grade::LEVEL };
    if corrected.iter().any(|j| ctx.rough_in.network.beyond(*j, part)) {
        return Grade::LEVEL;
    }
    let foot = Vector3::new(along.x, along.y, 0.0) * 12.0;
    Grade::per_foot(turn_error(foot, Vector3::z(), lean.covariance()))
}

/// The stack a part hangs on with its lean and base, where it was surveyed and the placement looked at is as found.
fn surveyed<'a>(ctx: &Ctx<'a>, part: PartId) -> Option<(&'a Run, &'a Lean, PartId)> {
    let stack = ctx.rough_in.stack_of(ctx.rough_in.part(part).run);
    match &stack.kind {
        RunKind::Stack { base, lean: Some(lean), .. } if ctx.placement() == Placement::Found => {
            Some((stack, lean, *base))
        }
        _ => None,
    }
}

/// How far a point at `arm` from the base moves along a unit direction for a small lean of that covariance: a lean by
/// (x, y) turns about (-y, x, 0).
fn turn_error(arm: Vector3<f64>, along: Vector3<f64>, covariance: &Matrix2<f64>) -> f64 {
    let lever = arm.cross(&along);
    let by_lean = Vector2::new(lever.y, -lever.x);
    by_lean.dot(&(covariance * by_lean)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    // 8 ft up a stack whose lean is known to 0.01 in per ft, a point is known to 0.08 in sideways and not at all in
    // doubt along the stack; 4 ft out on a branch its height is known to 0.04 in.
    #[test]
    fn a_lean_known_to_a_hundredth_moves_a_point_by_its_lever() {
        let variance = (0.01_f64 / 12.0).powi(2);
        let covariance = Matrix2::new(variance, 0.0, 0.0, variance);
        let up = Vector3::new(0.0, 0.0, 96.0);
        assert!((turn_error(up, Vector3::x(), &covariance) - 0.08).abs() < 1e-12);
        assert!(turn_error(up, Vector3::z(), &covariance).abs() < 1e-12);
        let out = Vector3::new(48.0, 0.0, 96.0);
        assert!((turn_error(out, Vector3::z(), &covariance) - 0.04).abs() < 1e-12);
    }

    #[test]
    fn the_angle_between_headings_is_the_turn() {
        let (x, y) = (Vector2::x(), Vector2::y());
        assert!((angle_between(x, y).to_degrees() - 90.0).abs() < 1e-12);
        assert!((angle_between(x, -x).to_degrees() - 180.0).abs() < 1e-12);
    }
}
