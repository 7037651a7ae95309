//! A trap arm that turns down before it is vented: an S-trap, whatever its parts are called.

use crate::arm::{Arm, Step, arms};
use crate::arm_shape::turns_down;
use crate::bore::telling::over;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::units::Grade;

rule! {
    /// # What it checks
    ///
    /// No trap arm turns down before its vent and falls more than its own size by it.
    ///
    /// # Why
    ///
    /// The leg that falls away runs full and pulls the trap after it. It drains badly and gurgles, and the seal is gone.
    ///
    /// # Source
    ///
    /// The code's limit on the fall of a fixture drain to its vent. S-traps are forbidden by all.
    ///
    /// # Limits
    ///
    /// A step steeper than `trap-arm-turn-down` is a turn, not a grade; flatter ones are `trap-arm-falls-too-far`'s. Where
    /// no vent was found, only the way to the first fitting that others join is looked at. Closets are exempt: their
    /// trap is their own, and they siphon on purpose. A fall over the limit by less than the survey's error is a question.
    ///
    /// # Example
    ///
    /// A tub's arm turns down by a 1/8 bend behind the trap and reaches the vented stack 10 in lower: tagged.
    "trap-arm-drops", Traps, Code,
    "a trap arm turns down before its vent",
    figures: ["trap-arm-fall", "trap-arm-turn-down"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("trap-arm-fall");
    for arm in arms(ctx) {
        let Some((turn, falls)) = turns_down(ctx, arm) else {
            out.extend(pass(ctx, arm).filter(|_| ctx.passes));
            continue;
        };
        let most = arm.size.nominal() * figure.value;
        let (limit, error) = (Limit::AtMost(most.to_inches()), arm.fall_error());
        let Some(verdict) = ctx.verdict(limit.margin(falls.to_inches()), error.to_inches()) else { continue };
        let name = &ctx.job.fixtures[arm.fixture].name;
        let to = ctx.label(arm.steps[turn].to);
        let until = if arm.vent.is_some() { "before its vent" } else { "and no vent was found before that" };
        let what = format!(
            "the {} in trap arm of {name} turns down on its way to {to} and falls {falls} {until}, at most {most}",
            arm.size
        );
        let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([name, ctx.label(arm.trap), to])
            .at(ctx.placed.origin(arm.steps[turn].to))
            .measured(falls.to_inches(), limit, "in")
            .known_to(error.to_inches());
        for step in &arm.steps[..=turn] {
            finding = finding.line(format!(
                "to {}: {:.3} in level, falling {:.3}",
                ctx.label(step.to),
                step.level.to_inches(),
                step.fall.to_inches()
            ));
        }
        out.push(
            finding
                .line(format!(
                    "{:.3} in, at most {} x {} in = {:.3}: {}",
                    falls.to_inches(),
                    figure.value,
                    arm.size,
                    most.to_inches(),
                    over(falls - most)
                ))
                .help("keep the arm at its grade as far as the vent, and let it drop after that"),
        );
    }
}

/// An arm that turns down nowhere: its steepest length, held to what counts as a turn down.
fn pass(ctx: &Ctx<'_>, arm: &Arm) -> Option<Finding> {
    let figure = ctx.profile.figure("trap-arm-turn-down");
    let grade = |s: &Step| s.fall.to_inches() / s.level.to_feet();
    let lying = arm.steps.iter().filter(|s| s.level.to_inches() > 0.1);
    let steepest = lying.max_by(|a, b| grade(a).total_cmp(&grade(b)))?;
    let (name, to) = (&ctx.job.fixtures[arm.fixture].name, ctx.label(steepest.to));
    let (falls, limit) = (grade(steepest), Limit::AtMost(figure.value));
    let what = format!(
        "the trap arm of {name} turns down nowhere: to {to} it falls {}, a turn down is {}",
        Grade::per_foot(falls),
        figure.grade()
    );
    let finding = Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, figure.source());
    limit
        .allows(falls)
        .then(|| finding.on([name, ctx.label(arm.trap), to]).at(arm.weir).measured(falls, limit, "in/ft"))
}
