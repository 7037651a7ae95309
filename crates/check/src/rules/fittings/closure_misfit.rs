//! A tie whose closing piece does not meet its port.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::lean::position_error;
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::place::{Closure, Joint};
use truefall_model::tolerance::TOUCH;
use truefall_model::units::{Angle, Length};

rule! {
    /// # What it checks
    ///
    /// A run tied back into another comes together: the closing piece's end is at the port's stop within the touch
    /// tolerance, and in its line within what its joint can be set to.
    ///
    /// # Why
    ///
    /// With both ends fixed nothing is left to give. A closing piece that misses is forced, and leaks or cracks.
    ///
    /// # Source
    ///
    /// Our own rule: geometry. The angle is the catalog's seat allowance for the joint.
    ///
    /// # Limits
    ///
    /// What is left of the closing piece after the cut length was solved is looked at, not whether the fittings could be
    /// sprung together. In the found placement two stacks that lean apart open a tie between them.
    ///
    /// # Example
    ///
    /// A re-vent is tied into a stack 6 ft up. As drawn it closes; the vent's own stack leans 0.1 in per ft away, and as
    /// found 5/8 in is left: tagged.
    "closure-misfit", Fittings,
    House("a run fixed at both ends has to come together without force"),
    "a tie does not come together",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for closure in &ctx.placed.closures {
        let joint = ctx.rough_in.joints.iter().find(|j| j.closing && j.high.0 == closure.part);
        out.extend(joint.and_then(|joint| judge(ctx, closure, joint)));
    }
}

fn judge(ctx: &Ctx<'_>, closure: &Closure, joint: &Joint) -> Option<Finding> {
    let gap_error = gap_error(ctx, closure, joint);
    let gap_limit = Limit::AtMost(TOUCH.to_inches());
    let by_gap = Verdict::of(gap_limit.margin(closure.gap.to_inches()), gap_error.to_inches());
    let angle_limit = Limit::AtMost(joint.seat.to_degrees());
    let by_angle = (!angle_limit.allows(closure.angle.to_degrees())).then_some(Verdict::RedTag);
    let told = by_gap.into_iter().chain(by_angle).min();
    let verdict = told.or(ctx.passes.then_some(Verdict::Pass))?;
    let run = &ctx.rough_in.run(closure.run).label;
    let meets = if verdict == Verdict::Pass { "meets" } else { "does not meet" };
    let what = format!("{run} {meets} {}: {} and {} off", closure.to, gap_words(closure.gap), closure.angle);
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, RULE.source())
        .on([run, &closure.to.fitting, ctx.label(closure.part)])
        .at(closure.at);
    let finding = if by_gap == told {
        finding.measured(closure.gap.to_inches(), gap_limit, "in").known_to(gap_error.to_inches())
    } else {
        finding.measured(closure.angle.to_degrees(), angle_limit, "deg")
    };
    Some(
        finding
            .line(format!(
                "from the piece's end to the port's stop {:.4} in, at most {:.4}",
                closure.gap.to_inches(),
                TOUCH.to_inches()
            ))
            .line(format!("between their lines {}, the joint can be set {}", closure.angle, joint.seat))
            .help(help(closure.angle, joint.seat)),
    )
}

fn gap_words(gap: Length) -> String {
    if gap.to_inches() < 1.0 / 32.0 { format!("{:.3} in", gap.to_inches()) } else { gap.to_string() }
}

fn help(angle: Angle, seat: Angle) -> &'static str {
    if angle.to_radians() > seat.to_radians() {
        "turn the last fitting so that its line is the port's, or close it with a bend that can be rolled"
    } else {
        "move the fitting before the closing piece onto the port's line, or close it with a slip coupling"
    }
}

/// What the survey leaves open of the gap: nothing where both sides hang on one stack.
fn gap_error(ctx: &Ctx<'_>, closure: &Closure, joint: &Joint) -> Length {
    let rough_in = ctx.rough_in;
    let (target, port) = joint.low;
    let stack = |part| rough_in.stack_of(rough_in.part(part).run).id;
    if stack(target) == stack(closure.part) {
        return Length::ZERO;
    }
    let stop = ctx.placed.stop(rough_in, target, port);
    let along = (closure.at - stop).try_normalize(1e-9).unwrap_or_else(Vector3::z);
    let one = position_error(ctx, closure.part, closure.at, along).to_inches();
    let other = position_error(ctx, target, stop, along).to_inches();
    Length::inches(one.hypot(other))
}
