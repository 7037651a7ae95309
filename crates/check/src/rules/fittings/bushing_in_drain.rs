//! A bushing in a drain where the official refuses them.

use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::flow::family;
use crate::rule::rule;
use truefall_model::catalog::family::Family;

rule! {
    /// # What it checks
    ///
    /// Where bushings are refused in drains, none carries waste. They are allowed unless the job amends
    /// `bushing-in-drain-allowed` to 0.
    ///
    /// # Why
    ///
    /// The ledge at a flush bushing stands in the way of what flows. Some officials refuse it, others see them every day.
    ///
    /// # Source
    ///
    /// Local preference: no code counts bushings. The amendment's note says whose.
    ///
    /// # Limits
    ///
    /// It does not know the official. A bushing in a dry vent is not told.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// The inspector wants reducers: the job amends the figure, and the 2x1-1/2 bushing in the tub's arm is tagged.
    "bushing-in-drain", Fittings, Code,
    "a bushing carries waste where bushings in drains are refused",
    figures: ["bushing-in-drain-allowed"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("bushing-in-drain-allowed");
    if figure.value >= 0.5 {
        return;
    }
    let wet = |part: &&truefall_model::place::Part| {
        ctx.is_wet(part.id) && family(ctx, part.id) == Some(Family::Bushing)
    };
    for part in ctx.rough_in.parts.iter().filter(wet) {
        let what = format!("{} is a bushing in a drain, which the official here refuses", part.label);
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, figure.source())
                .on([&part.label, &ctx.rough_in.run(part.run).label])
                .at(ctx.placed.origin(part.id))
                .help("use a reducer, or a tee or wye whose branch is the smaller size"),
        );
    }
}
