//! A branch off a lying wye whose roll does not give the branch its grade.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::{is_down, passages};
use crate::number::thousandths;
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::job::Placement;
use truefall_model::place::{Leg, PartId};
use truefall_model::units::{Angle, Grade};

rule! {
    /// # What it checks
    ///
    /// Where a drain leaves a lying wye by its branch, the clock that the job states for the wye is the roll that gives the
    /// branch its grade. Where it is not, the roll is told: it is what the wye has to be glued at.
    ///
    /// # Why
    ///
    /// A wye is a true 45. With both inlets level with each other its branch has only 70 percent of the barrel's grade: 0.18
    /// in per ft off a barrel at 1/4. Rolled up a little it has all of it, and a glued wye can't be rolled any more.
    ///
    /// # Source
    ///
    /// Our own rule: geometry. That the wye wants rolling is common practice.
    ///
    /// # Limits
    ///
    /// Only wyes whose barrel lies are looked at, as drawn; a combination has a pitch of its own. Placement rolls a wye by
    /// a few degrees to the grade by itself, so the picture is right even where this is told. The roll is counted up from
    /// where both inlets are level with each other. A wye without a clock is taken as meant to lie level. Where the branch comes out
    /// flatter than the code allows, `drain-too-flat` tells it and this rule does not.
    ///
    /// # Example
    ///
    /// A 2 in branch aimed at 1/4 in per ft leaves a wye at 3 o'clock off a barrel at 1/4: so it makes 0.177. Rolled up
    /// half a degree, a clock of 89.5 degrees, it makes 1/4.
    "branch-off-level-wye", Grade, Code,
    "a branch off a lying wye needs the wye rolled for its grade",
    figures: ["wye-roll-grade", "grade-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.placement() != Placement::Drawn {
        return;
    }
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
            // The barrel looking away from the base.
            out.extend(judge(ctx, passage.fitting, leg, -passage.travel_out));
        }
    }
}

fn judge(ctx: &Ctx<'_>, wye: PartId, leg: &Leg, barrel: Vector3<f64>) -> Option<Finding> {
    let rough_in = ctx.rough_in;
    let figure = ctx.profile.figure("wye-roll-grade");
    let target = leg.target?;
    let stated = stated_roll(ctx, wye);
    let made = grade_at(barrel, stated);
    let least = ctx.profile.for_size("grade-min", leg.size);
    let falls = rough_in.grade(ctx.placed, leg.id)?.to_per_foot();
    if least.is_some_and(|least| !Limit::AtLeast(least.value).allows(falls)) {
        return None;
    }
    let limit = Limit::Between(target.to_per_foot() - figure.value, target.to_per_foot() + figure.value);
    let verdict = match ctx.verdict(limit.margin(made), 0.0)? {
        Verdict::Pass => Verdict::Pass,
        _ => Verdict::Watch,
    };
    let roll = roll_for(barrel, target)?;
    let label = ctx.label(wye);
    let what = format!(
        "{label} has to be rolled {:.2} degrees up from level for {} to have {target}; its clock says {:.2}",
        roll.to_degrees(),
        ctx.leg_name(leg.id),
        stated.to_degrees()
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([label])
            .on(ctx.leg_labels(leg.id).into_iter().filter(|l| *l != label))
            .at(ctx.placed.origin(wye))
            .measured(made, limit, "in/ft")
            .line(format!("the barrel falls {} in per ft", thousandths(grade(barrel))))
            .line(format!(
                "rolled {:.2} degrees up the branch makes {} in per ft",
                stated.to_degrees(),
                thousandths(made)
            ))
            .line(format!("rolled {:.2} degrees up it makes {target}", roll.to_degrees()))
            .help(format!(
                "roll the wye until a stub in its branch reads {target}; in the job, a clock {:.1} degrees off 12",
                90.0 - roll.to_degrees()
            )),
    )
}

/// The roll up from level that the job's clock for a wye comes to; level where it has none.
fn stated_roll(ctx: &Ctx<'_>, wye: PartId) -> Angle {
    let label = ctx.label(wye);
    let stacks = ctx.job.stacks.iter().flat_map(|s| &s.up);
    let branches = ctx.job.branches.iter().flat_map(|b| &b.along);
    let clock = stacks.chain(branches).find(|fit| fit.name == *label).and_then(|fit| fit.clock);
    // To a hundredth of a degree: the cosine of a quarter turn is not quite nothing.
    let up = |turn: f64| (turn.cos().asin().to_degrees() * 100.0).round() / 100.0 + 0.0;
    clock.map_or(Angle::ZERO, |clock| Angle::degrees(up(clock.angle().to_radians())))
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

/// The grade of a branch at 45 degrees off a barrel, rolled up from level.
fn grade_at(barrel: Vector3<f64>, roll: Angle) -> f64 {
    let side = Vector3::z().cross(&barrel).normalize();
    let up = (Vector3::z() - barrel * barrel.z).normalize();
    let (sine, cosine) = roll.to_radians().sin_cos();
    grade(barrel + side * cosine + up * sine)
}

fn leg_from<'a>(ctx: &Ctx<'a>, low: PartId, above: PartId) -> Option<&'a Leg> {
    ctx.rough_in.legs.iter().find(|leg| leg.low == low && leg.piece.or(leg.high) == Some(above))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn barrel(per_ft: f64) -> Vector3<f64> {
        let pitch = (per_ft / 12.0).atan();
        Vector3::new(pitch.cos(), 0.0, pitch.sin())
    }

    // A trade forum's worked case: a wye with its inlets level takes 70 percent of a 1/4 in per ft barrel, 0.18, into
    // its branch (common practice).
    #[test]
    fn a_level_wye_gives_seventy_percent() {
        let made = grade_at(barrel(0.25), Angle::ZERO);
        assert!((made - 0.18).abs() < 0.005 && (made / 0.25 - 0.70).abs() < 0.01);
    }

    #[test]
    fn the_roll_gives_the_grade() {
        let roll = roll_for(barrel(0.25), Grade::per_foot(0.25)).unwrap();
        assert!((grade_at(barrel(0.25), roll) - 0.25).abs() < 1e-12);
        assert!((roll.to_degrees() - 0.494).abs() < 1e-3);
    }

    #[test]
    fn a_grade_steeper_than_the_wye_can_give_has_no_roll() {
        assert_eq!(roll_for(Vector3::x(), Grade::per_foot(13.0)), None);
    }
}
