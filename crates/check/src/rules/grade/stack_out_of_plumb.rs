//! A stack that leans, and what that does to everything that hangs on it.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::lean::{found_sum, heading_words};
use crate::rule::rule;
use truefall_model::job::Placement;
use truefall_model::place::{LegId, Run, RunKind};
use truefall_model::survey::Lean;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Each surveyed stack's lean, which way it goes in wall words, how far off the stack's top is for it, and what it does
    /// to the grade of every run that hangs on it.
    ///
    /// # Why
    ///
    /// A run that heads the way the stack leans loses the lean from its grade; one that heads the other way gains it. In
    /// every direction the riser at its end leaves plumb by the same lean, so a drain can be right on paper and
    /// land beside its fixture.
    ///
    /// # Source
    ///
    /// Our own rule: no code gives a number for a pipe out of plumb. The figure is what a level and a tape tell from plumb
    /// over one storey.
    ///
    /// # Limits
    ///
    /// It is a warning by itself and no fault; what the lean spoils is told by the rules on grade and misfit. The stack is
    /// taken as straight between restraints. A stack that was not surveyed is told by `existing-not-read`.
    ///
    /// # Example
    ///
    /// A stack leans 0.19 in per ft toward the north wall. Over its 9 ft that is 1-11/16 in, and a drain
    /// heading north drawn at 1/4 falls 0.06 in per ft as found.
    "stack-out-of-plumb", Grade,
    House("the lean is taken off every grade that heads its way, and that is to be known before the first cut"),
    "a surveyed stack leans",
    figures: ["out-of-plumb"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.placement() != Placement::Found {
        return;
    }
    for run in &ctx.rough_in.runs {
        if let RunKind::Stack { lean: Some(lean), .. } = &run.kind {
            out.extend(of_stack(ctx, run, lean));
        }
    }
}

fn of_stack(ctx: &Ctx<'_>, stack: &Run, lean: &Lean) -> Option<Finding> {
    let RunKind::Stack { base, corrected, .. } = &stack.kind else { return None };
    let figure = ctx.profile.figure("out-of-plumb");
    let (leans, error) = (lean.lean_in_per_ft(), lean.lean_error_in_per_ft());
    let limit = Limit::AtMost(figure.value);
    let verdict = match ctx.verdict(limit.margin(leans), error)? {
        Verdict::Pass => Verdict::Pass,
        _ => Verdict::Watch,
    };
    let foot = ctx.placed.origin(*base);
    let top = stack_top(ctx, stack).max(foot.z);
    let height = Length::inches(top - foot.z);
    let toward = lean.heading().map_or_else(String::new, |h| format!(" {}", heading_words(ctx, foot, *h)));
    let offset = Length::inches(leans * height.to_feet());
    let off = Length::inches(error * height.to_feet());
    let what = format!(
        "stack {} leans {leans:.3} ± {error:.3} in per ft{toward}, {offset} over {height}",
        stack.label
    );
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([&stack.label])
        .at(foot)
        .measured(leans, limit, "in/ft")
        .known_to(error)
        .line(format!(
            "{leans:.3} in per ft x {:.2} ft = {:.3} in ± {:.3} at the top",
            height.to_feet(),
            offset.to_inches(),
            off.to_inches()
        ));
    for joint in corrected {
        finding = finding
            .line(format!("corrected at {}: what lies beyond it stands otherwise", ctx.joint_name(*joint)));
    }
    let hangs = first_legs(ctx, stack);
    if !hangs.is_empty() {
        finding = finding.line(format!(
            "a riser at the end of what hangs on it leaves plumb by {leans:.3} in per ft{toward}"
        ));
    }
    for (run, leg) in hangs {
        let Some(drawn) = ctx.rough_in.grade(&ctx.rough_in.drawn, leg) else { continue };
        finding = finding.line(format!("{}: drawn {drawn}", run.label));
        finding = finding
            .lines(found_sum(ctx, leg, drawn).into_iter().map(|line| format!("{}: {line}", run.label)));
    }
    Some(finding.help(
        "take the lean out at the first new joint if it allows that much, or cut on the found placement and give the runs that head the way it leans more fall",
    ))
}

/// Height of the highest end of the stack's own parts.
fn stack_top(ctx: &Ctx<'_>, stack: &Run) -> f64 {
    let pieces = stack.last_piece.iter().map(|p| ctx.placed.stop(ctx.rough_in, *p, 1).z);
    let fittings = stack.fits.iter().map(|(_, f)| ctx.placed.origin(*f).z);
    pieces.chain(fittings).fold(f64::NEG_INFINITY, f64::max)
}

/// The first graded leg of every run that hangs on the stack.
fn first_legs<'a>(ctx: &Ctx<'a>, stack: &Run) -> Vec<(&'a Run, LegId)> {
    let rough_in = ctx.rough_in;
    let hangs = |run: &&Run| run.id != stack.id && rough_in.stack_of(run.id).id == stack.id;
    let first = |run: &'a Run| {
        let legs = rough_in.legs.iter().filter(|leg| leg.run == run.id);
        legs.map(|leg| leg.id)
            .find(|leg| rough_in.grade(&rough_in.drawn, *leg).is_some())
            .map(|leg| (run, leg))
    };
    rough_in.runs.iter().filter(hangs).filter_map(first).collect()
}
