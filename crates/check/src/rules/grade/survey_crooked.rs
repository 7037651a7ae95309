//! Readings of a survey that do not lie on one line.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::job::Placement;
use truefall_model::job::pipes::Stack;
use truefall_model::job::survey::{Gap, PlumbString};
use truefall_model::label::Label;
use truefall_model::place::{RoughIn, RunKind, Trouble};
use truefall_model::survey::{DOUBT_BELOW, Reading, fit};

rule! {
    /// # What it checks
    ///
    /// The gaps read along a plumb string lie on one straight line, as well as readings of their error would.
    ///
    /// # Why
    ///
    /// If they don't, one reading is off or the pipe is bent, and every grade found from them is in doubt.
    ///
    /// # Source
    ///
    /// Our own rule: the chi-square test of the fit, with the chance that straight pipe reads so badly.
    ///
    /// # Limits
    ///
    /// Two readings always lie on a line: it takes three heights. With three it can't tell which one is off.
    ///
    /// # Example
    ///
    /// Gaps of 3, 3 and 3-1/2 in at 0, 1 and 2 ft, each good to 1/16, are asked about: a straight pipe reads so about once in
    /// a thousand surveys.
    "survey-crooked", Grade,
    House("grades as found are no better than the readings they come from"),
    "the readings along a plumb string are not on one line",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.placement() != Placement::Found {
        return;
    }
    for trouble in &ctx.rough_in.troubles {
        let Trouble::CrookedSurvey { stack, string, chance, worst } = trouble else { continue };
        let Some(read) = ctx.job.stacks.iter().find(|s| s.name == *stack).and_then(|s| s.lean.get(*string))
        else {
            continue;
        };
        let what = format!(
            "the {} readings of stack {stack} toward {} are not on one line: one is off, or the pipe is bent",
            read.gaps.len(),
            read.toward
        );
        let mut finding = Finding::new(RULE.id, Verdict::Ask, ctx.placement(), what, RULE.source())
            .on([stack, &read.toward])
            .reading(*chance, "share");
        if let Some(base) = base_of(ctx.rough_in, stack) {
            finding = finding.at(ctx.placed.origin(base));
        }
        for gap in &read.gaps {
            finding = finding.line(format!("at {} up: {} ± {}", gap.up, gap.gap, gap.error.exact()));
        }
        finding =
            finding.line(format!("a straight pipe reads so badly in {:.2} of 100 surveys", chance * 100.0));
        let again = match read.gaps.get(*worst).filter(|_| read.gaps.len() > 3) {
            Some(gap) => format!("read the gap at {} again first", gap.up),
            None => "read all of them again, at one more height if you can".to_owned(),
        };
        out.push(finding.help(again));
    }
    if ctx.passes {
        out.extend(
            ctx.job.stacks.iter().flat_map(|stack| stack.lean.iter().filter_map(|s| pass(ctx, stack, s))),
        );
    }
}

/// Readings that a straight pipe may well give: how often it would give worse.
fn pass(ctx: &Ctx<'_>, stack: &Stack, string: &PlumbString) -> Option<Finding> {
    let reading = |g: &Gap| Reading {
        height_in: g.up.to_inches(),
        gap_in: g.gap.to_inches(),
        error_in: g.error.to_inches(),
    };
    let readings: Vec<Reading> = string.gaps.iter().map(reading).collect();
    let chance = fit(&readings).ok().filter(|line| !line.fit_doubtful())?.p_value()?;
    let what = format!(
        "the {} readings of stack {} toward {} are on one line: so badly reads a straight pipe in {:.0} of 100 surveys",
        readings.len(),
        stack.name,
        string.toward,
        chance * 100.0
    );
    let finding = Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, RULE.source());
    let finding =
        finding.on([&stack.name, &string.toward]).measured(chance, Limit::AtLeast(DOUBT_BELOW), "share");
    Some(match base_of(ctx.rough_in, &stack.name) {
        Some(base) => finding.at(ctx.placed.origin(base)),
        None => finding,
    })
}

fn base_of(rough_in: &RoughIn, stack: &Label) -> Option<truefall_model::place::PartId> {
    rough_in.runs.iter().filter(|run| run.label == *stack).find_map(|run| match &run.kind {
        RunKind::Stack { base, .. } => Some(*base),
        RunKind::Branch { .. } => None,
    })
}
