//! An island's loop that turns over too low.

use super::lines::{loops, rim_line};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::thousandths;
use crate::rule::rule;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// The vent of a sink that stands free of walls rises over the sink's outlet before it turns over and comes down.
    ///
    /// # Why
    ///
    /// Turned over lower, the loop fills as soon as the sink's drain is slow, and the trap has no air.
    ///
    /// # Source
    ///
    /// The code's section on island vents.
    ///
    /// # Limits
    ///
    /// The outlet is taken so far under the rim as a common bowl is deep: a figure of our own; the sink's sheet decides, so what is
    /// over the drain's stub and under that outlet is asked about. The loop's height is that of its centre line.
    /// Some codes want it as high as the cabinet lets it be, which is not known here. How the loop's foot is drained is
    /// `island-foot-not-drained`'s.
    ///
    /// # Example
    ///
    /// A loop that turns over 22 in up, under a sink with its rim at 36 and its outlet at 28: asked about.
    "island-loop-too-low", Venting, Code,
    "an island's loop turns over below the sink's outlet",
    figures: ["island-loop-over-outlet", "island-bowl"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (figure, bowl) = (ctx.profile.figure("island-loop-over-outlet"), ctx.profile.figure("island-bowl"));
    for (trap, _, spans) in loops(ctx) {
        let Some(rim) = ctx.rim(trap.fixture) else { continue };
        let Some(top) = spans.iter().take_while(|s| s.high.z >= s.low.z - 0.5).last() else { continue };
        let outlet = rim.z - bowl.value;
        let over = top.high.z - outlet;
        let limit = Limit::AtLeast(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(over), 0.0) else { continue };
        let verdict = match verdict {
            Verdict::RedTag if top.high.z > trap.at.z => Verdict::Ask,
            other => other,
        };
        let name = ctx.fixture(trap.fixture);
        let place = if over < 0.0 { "under" } else { "over" };
        let what = format!(
            "the loop of {name} turns over {} {place} the sink's outlet, at least {} over it",
            Length::inches(over.abs()),
            figure.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(top.to)])
                .at(top.high)
                .measured(over, limit, "in")
                .line(rim_line(ctx, trap.fixture, rim))
                .line(format!("a bowl of {} in: the outlet at {}", bowl.value, thousandths(outlet)))
                .line(format!("the loop turns over at {}", thousandths(top.high.z)))
                .help(format!("raise the loop {}", Length::inches(figure.value - over))),
        );
    }
}
