//! A branch off a lying wye whose roll does not give the branch its grade.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::{is_down, passages};
use crate::number::thousandths;
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::place::{Leg, PartId};
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Angle, Grade};

rule! {
    /// # What it checks
    ///
    /// A drain that leaves a lying wye by its branch gets the grade it is aimed at from the roll of the wye, and not from a
    /// joint that is forced or set out of line. The roll that gives it is told.
    ///
    /// # Why
    ///
    /// A wye is a true 45. With both inlets level with each other its branch has only 70 percent of the barrel's grade: 0.18
    /// in per ft off a barrel at 1/4. Rolled up a little it has all of it.
    ///
    /// # Source
    ///
    /// Our own rule: geometry. That the wye wants rolling is common practice.
    ///
    /// # Limits
    ///
    /// Only wyes whose barrel lies are looked at; a combination has a pitch of its own. The roll is counted from
    /// where both inlets are level with each other, up. On the job put it in the wye's clock, in degrees. Where the branch as
    /// it comes out is flatter than the code allows, `drain-too-flat` tells it and this rule does not.
    ///
    /// # Example
    ///
    /// A 2 in branch aimed at 1/4 in per ft leaves a wye at 3 o'clock off a barrel at 1/4: its parts make 0.177. Rolled up
    /// half a degree they make 1/4.
    "branch-off-level-wye", Grade, Code,
    "a branch off a lying wye needs the wye rolled for its grade",
    figures: ["wye-roll-grade", "grade-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for passage in passages(ctx) {
        let Some(pattern) = ctx.rough_in.part(passage.fitting).pattern() else { continue };
        let lies = |v: Vector3<f64>| is_down(ctx, v) == Some(false);
        let is_branch = pattern.ports[passage.enter].name.as_str() == "branch";
        if pattern.family != Family::Wye
            || !is_branch
            || !lies(passage.travel_in)
            || !lies(passage.travel_out)
        {
            continue;
        }
        if let Some(leg) = leg_from(ctx, passage.fitting, passage.from) {
            // Barrel and branch, both looking away from the base.
            out.extend(judge(ctx, passage.fitting, leg, -passage.travel_out, -passage.travel_in));
        }
    }
}

fn judge(
    ctx: &Ctx<'_>,
    wye: PartId,
    leg: &Leg,
    barrel: Vector3<f64>,
    branch: Vector3<f64>,
) -> Option<Finding> {
    let rough_in = ctx.rough_in;
    let figure = ctx.profile.figure("wye-roll-grade");
    let target = leg.target?;
    let made = grade(branch);
    let off = (target.to_per_foot() - made).abs();
    let limit = Limit::AtMost(figure.value);
    let too_flat = ctx.profile.for_size("grade-min", leg.size).is_some_and(|least| {
        rough_in.grade(ctx.placed, leg.id).is_some_and(|g| g.to_per_foot() < least.value - SLACK)
    });
    if limit.allows(off) || too_flat {
        return None;
    }
    let roll = roll_for(barrel, target)?;
    let now = roll_of(barrel, branch);
    let label = ctx.label(wye);
    let what = format!(
        "{label} gives {} {} in per ft by its roll, {target} is aimed at: roll it {:.2} degrees up from level, it stands at {:.2}",
        ctx.leg_name(leg.id),
        thousandths(made),
        roll.to_degrees(),
        now.to_degrees()
    );
    Some(
        Finding::new(RULE.id, Verdict::Watch, ctx.placement(), what, figure.source())
            .on([label])
            .on(ctx.leg_labels(leg.id))
            .at(ctx.placed.origin(wye))
            .measured(
                made,
                Limit::Between(target.to_per_foot() - figure.value, target.to_per_foot() + figure.value),
                "in/ft",
            )
            .line(format!("the barrel falls {} in per ft", thousandths(grade(barrel))))
            .line(format!(
                "with the wye at {:.2} degrees the branch's own axis makes {}",
                now.to_degrees(),
                thousandths(made)
            ))
            .line(format!("rolled to {:.2} degrees it makes {target}", roll.to_degrees()))
            .help("roll the wye until a stub in its branch reads the grade, or set its clock so in the job"),
    )
}

/// Rise over level run of a direction, in inches per foot.
fn grade(way: Vector3<f64>) -> f64 {
    way.z / way.xy().norm() * 12.0
}

/// The roll, up from level, at which a branch at 45 degrees off a barrel rises at a grade; none where no roll does.
fn roll_for(barrel: Vector3<f64>, target: Grade) -> Option<Angle> {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let rise = (target.to_per_foot() / 12.0).atan().sin();
    let level = barrel.xy().norm();
    let sine = (rise - half * barrel.z) / (half * level);
    (sine.abs() <= 1.0).then(|| Angle::radians(sine.asin()))
}

/// How far a branch is rolled up from level about its barrel.
fn roll_of(barrel: Vector3<f64>, branch: Vector3<f64>) -> Angle {
    let up = (Vector3::z() - barrel * barrel.z).normalize();
    let side = branch - barrel * branch.dot(&barrel);
    Angle::radians((side.normalize().dot(&up)).asin())
}

fn leg_from<'a>(ctx: &Ctx<'a>, low: PartId, above: PartId) -> Option<&'a Leg> {
    ctx.rough_in.legs.iter().find(|leg| leg.low == low && leg.piece.or(leg.high) == Some(above))
}

#[cfg(test)]
mod tests {
    use super::*;

    // A trade forum's worked case: a wye with its inlets level takes 70 percent of a 1/4 in per ft barrel, 0.18, into
    // its branch (common practice).
    #[test]
    fn a_level_wye_gives_seventy_percent() {
        let pitch = (0.25_f64 / 12.0).atan();
        let barrel = Vector3::new(pitch.cos(), 0.0, pitch.sin());
        let branch = (barrel + Vector3::y()) * std::f64::consts::FRAC_1_SQRT_2;
        assert!((grade(branch) - 0.18).abs() < 0.005 && (grade(branch) / 0.25 - 0.70).abs() < 0.01);
        assert!(roll_of(barrel, branch).to_degrees().abs() < 1e-9);
    }

    // Rolled to what it asks for, the branch has the grade: turned by hand about the barrel.
    #[test]
    fn the_roll_gives_the_grade() {
        let pitch = (0.25_f64 / 12.0).atan();
        let barrel = Vector3::new(pitch.cos(), 0.0, pitch.sin());
        let roll = roll_for(barrel, Grade::per_foot(0.25)).unwrap();
        let (side, up) = (Vector3::y(), Vector3::new(-pitch.sin(), 0.0, pitch.cos()));
        let sideways = side * roll.to_radians().cos() + up * roll.to_radians().sin();
        let branch = (barrel + sideways) * std::f64::consts::FRAC_1_SQRT_2;
        assert!((grade(branch) - 0.25).abs() < 1e-12);
        assert!((roll.to_degrees() - roll_of(barrel, branch).to_degrees()).abs() < 1e-9);
        assert!((roll.to_degrees() - 0.494).abs() < 1e-3);
    }

    #[test]
    fn a_grade_steeper_than_the_wye_can_give_has_no_roll() {
        assert_eq!(roll_for(Vector3::x(), Grade::per_foot(13.0)), None);
    }
}
