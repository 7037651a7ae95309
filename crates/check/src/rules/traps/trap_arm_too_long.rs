//! A trap arm longer than the code lets it be for its size.

use crate::arm::{Arm, Vent, arms};
use crate::bore::telling::over;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::{against, enough};
use crate::rule::rule;
use crate::source::Source;
use truefall_model::tolerance::near;
use truefall_model::units::{Grade, Length};

rule! {
    /// # What it checks
    ///
    /// Each trap's arm, from the trap's weir to the inner edge of the vent, level along the centre line through its
    /// fittings, is no longer than the code allows for its size.
    ///
    /// # Why
    ///
    /// In a longer arm the water can fill the pipe, and the plug of it sucks the trap dry.
    ///
    /// # Source
    ///
    /// The code's table of distances from trap to vent. The other limit, one diameter of fall over the grade, is told in the
    /// sum, and held by `trap-arm-falls-too-far` to the fall the arm has.
    ///
    /// # Limits
    ///
    /// The vent is where the trap's method of venting opens, as `trap-not-vented` finds it; an unvented trap has no arm, and
    /// branches of a combination drain and vent or of a single stack have limits of their own. Closets are exempt and not
    /// measured. An arm whose pipe changes size is held to the smallest. A trap hung at finish is taken where the
    /// fixture's figures put it.
    ///
    /// # Example
    ///
    /// A 1-1/2 in sink arm of 76 in to the stack's centre, less half the bore of the 3 in stack, is 74-1/2 in: the most is
    /// 72.
    "trap-arm-too-long", Traps, Code,
    "a trap arm is longer than its size allows",
    figures: ["trap-arm-length", "trap-arm-fall"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for arm in arms(ctx) {
        if let Some(vent) = &arm.vent {
            out.extend(judge(ctx, arm, vent));
        }
    }
}

fn judge(ctx: &Ctx<'_>, arm: &Arm, vent: &Vent) -> Option<Finding> {
    let name = &ctx.job.fixtures[arm.fixture].name;
    let length = arm.length();
    let finding = |verdict, what, source| {
        Finding::new(RULE.id, verdict, ctx.placement(), what, source)
            .on([name, ctx.label(arm.trap), ctx.label(vent.fitting)])
            .at(arm.weir)
            .lines(length_sum(ctx, arm, vent))
    };
    let Some(figure) = ctx.profile.for_size("trap-arm-length", arm.size) else {
        let reason =
            format!("{} {} has no length for this size here", ctx.profile.code(), ctx.profile.edition());
        let what = format!(
            "the {} in trap arm of {name} is {length} long; the profile has no limit for it",
            arm.size
        );
        return Some(finding(Verdict::NotChecked, what, Source::house(&reason)));
    };
    let limit = Limit::AtMost(figure.value);
    let verdict = ctx.verdict(limit.margin(length.to_inches()), 0.0)?;
    let [reads, most] = against(length, figure.length());
    let what = format!("the {} in trap arm of {name} is {reads} long, at most {most}", arm.size);
    Some(
        finding(verdict, what, figure.source())
            .measured(length.to_inches(), limit, "in")
            .line(format!(
                "{:.3} in, at most {:.3}: {}",
                length.to_inches(),
                figure.value,
                over(length - figure.length())
            ))
            .lines(by_its_fall(ctx, arm, figure.length()))
            .help(format!(
                "bring a vent {} nearer to the trap, or run the arm in larger pipe",
                enough(length - figure.length())
            )),
    )
}

/// How long the arm may be by its fall: one diameter over the grade it has. The table or this holds, whichever is less.
fn by_its_fall(ctx: &Ctx<'_>, arm: &Arm, table: Length) -> Option<String> {
    let fall = ctx.profile.figure("trap-arm-fall").value;
    let per_foot = arm.fall().to_inches() / arm.length().to_feet();
    let grade = Grade::per_foot(per_foot);
    let most = arm.size.nominal() * fall;
    // At 1/100 in per ft it is level, and no length is too much.
    (per_foot > 0.01).then(|| {
        let by_fall = Length::inches(most.to_inches() / per_foot * 12.0);
        let less = if near(by_fall, table) {
            "as much as the table"
        } else if by_fall < table {
            "less than the table"
        } else {
            "the table is less"
        };
        format!("at {grade} it falls its {most} in {by_fall}: {less}")
    })
}

/// The arm's length, fitting by fitting.
pub(super) fn length_sum(ctx: &Ctx<'_>, arm: &Arm, vent: &Vent) -> Vec<String> {
    let last = arm.steps.len().saturating_sub(1);
    let step = |(i, step): (usize, &crate::arm::Step)| {
        let to = ctx.label(step.to);
        let end = if i == last { format!("the vent's edge at {to}") } else { to.to_string() };
        format!("to {end}: {:.3} in level, falling {:.3}", step.level.to_inches(), step.fall.to_inches())
    };
    let mut sum: Vec<String> = arm.steps.iter().enumerate().map(step).collect();
    sum.push(format!(
        "together {:.3} in; {:.3} in of half the vent's bore is already off",
        arm.length().to_inches(),
        vent.half_bore.to_inches()
    ));
    sum
}
