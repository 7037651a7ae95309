//! Drain smaller than one of its fixtures needs by itself.

use super::told;
use crate::ctx::Ctx;
use crate::cure::size::larger;
use crate::drain::{drains, largest_least, too_small_for, worst};
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// No drain is smaller than the code's least size for a fixture that drains through it, whatever its fixture units:
    /// 3 in for a closet; in some codes more than the trap arm's size for sinks.
    ///
    /// # Why
    ///
    /// What a closet passes does not pass a smaller pipe, and the grease of a sink closes one that it barely fits.
    ///
    /// # Source
    ///
    /// The code's least sizes for fixtures.
    ///
    /// # Limits
    ///
    /// A trap arm is sized by its trap and not looked at. Existing pipe below the base is not part of the job. A fixture the
    /// code gives no least drain for is held to its load and its trap alone. Of one run and size one leg is told.
    ///
    /// # Example
    ///
    /// A closet's bend is bushed down to 2 in pipe: tagged, though 2 in could carry its 3 fixture units.
    "drain-too-small-for-fixture", Loads, Code,
    "a drain is smaller than one of its fixtures needs",
    figures: ["drain-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains = drains(ctx);
    let judged = drains.iter().filter_map(|drain| {
        let small = too_small_for(ctx, drain);
        let (fixture, figure) = small.or_else(|| largest_least(ctx, drain).filter(|_| ctx.passes))?;
        let verdict = if small.is_some() { Verdict::RedTag } else { Verdict::Pass };
        let size = drain.size.nominal().to_inches();
        let limit = Limit::AtLeast(figure.value);
        let name = &ctx.job.fixtures[fixture].name;
        let what = format!(
            "{name} drains through {} in {} in pipe, which is to be {} at least",
            ctx.leg_name(drain.leg),
            drain.size,
            figure.length()
        );
        let finding = told(ctx, RULE.id, verdict, drain, what, figure.source())
            .measured(size, limit, "in")
            .line(format!("{} in pipe, {name} needs {}", drain.size, figure.length()))
            .help(format!("run it in {} pipe from {name} down", figure.length()))
            .cure(
                large_enough(figure.value)
                    .and_then(|size| larger(ctx, ctx.rough_in.leg(drain.leg).run, size)),
            );
        Some((drain, limit.margin(size), finding))
    });
    out.extend(worst(judged).into_iter().map(|(_, finding)| finding));
}

/// The least size of drain pipe that is so wide.
fn large_enough(inches: f64) -> Option<NominalSize> {
    NominalSize::ALL.into_iter().find(|size| size.nominal().to_inches() >= inches)
}
