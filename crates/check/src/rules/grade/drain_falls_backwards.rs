//! A drain that falls away from its base.

use crate::ctx::Ctx;
use crate::cure::plumb_at_base;
use crate::finding::{Finding, Limit, Verdict};
use crate::lean::{grade_error, grade_sum};
use crate::rule::rule;
use crate::stretch::graded_drains;
use truefall_model::job::Placement;
use truefall_model::tolerance::SLACK;
use truefall_model::units::Grade;

rule! {
    /// # What it checks
    ///
    /// No straight length of drain falls away from its base, as drawn or as found.
    ///
    /// # Why
    ///
    /// Water stands in it for good, and the trap above may lose its seal.
    ///
    /// # Source
    ///
    /// The code's table of least slopes: the finding is held to the same figure as `drain-too-flat`, which is then not
    /// told as well.
    ///
    /// # Limits
    ///
    /// It knows the grade between fittings, not a sag between hangers. A result nearer to level than the error of the
    /// survey is a question. Vents are not looked at.
    ///
    /// # Example
    ///
    /// A washer drain drawn at 1/4 in per ft on a stack that leans 0.3 in per ft its way falls backwards by
    /// 0.05 in per ft as found.
    "drain-falls-backwards", Grade, Code,
    "a drain falls away from its base and holds water",
    figures: ["grade-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for stretch in graded_drains(ctx) {
        let leg = stretch.longest(ctx);
        let falls = stretch.grade.to_per_foot();
        if falls >= -SLACK && !ctx.passes {
            continue;
        }
        let name = ctx.legs_name(&stretch.legs);
        let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg);
        let error = grade_error(ctx, leg).to_per_foot();
        if falls >= -SLACK {
            let source = crate::source::Source::house("water does not run uphill");
            let what = format!("{name} falls towards its base, {}", stretch.grade);
            out.push(
                Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, source)
                    .on(ctx.leg_labels(leg))
                    .at(nalgebra::center(&low, &high))
                    .measured(falls, Limit::AtLeast(0.0), "in/ft")
                    .known_to(error),
            );
            continue;
        }
        let backwards = Grade::per_foot(-falls);
        // Nearer to level than its error: which way it falls can't be told.
        let verdict = if falls.abs() < error { Verdict::Ask } else { Verdict::RedTag };
        let (needs, source) = match ctx.profile.for_size("grade-min", stretch.size) {
            Some(figure) => (figure.value, figure.source()),
            None => (0.0, crate::source::Source::house("water does not run uphill")),
        };
        let what = match verdict {
            Verdict::Ask => {
                format!("{name} falls backwards by {backwards} ± {error:.3}: too near to level to tell")
            }
            _ => format!("{name} falls backwards by {backwards}, needs at least {}", Grade::per_foot(needs)),
        };
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, source)
                .on(ctx.leg_labels(leg))
                .at(nalgebra::center(&low, &high))
                .measured(falls, Limit::AtLeast(needs), "in/ft")
                .known_to(error)
                .lines(grade_sum(ctx, leg))
                .line(format!(
                    "{} in pipe needs {needs:.3}: {falls:.3} - {needs:.3} = {:.3}",
                    stretch.size,
                    falls - needs
                ))
                .help(match ctx.placement() {
                    Placement::Drawn => format!("raise its far end {:.3} in for every foot", needs - falls),
                    Placement::Found => format!(
                        "raise its far end {:.3} in for every foot, or take the lean out at a joint below it",
                        needs - falls
                    ),
                })
                .cure(plumb_at_base(ctx, ctx.rough_in.leg(leg).run)),
        );
    }
}
