//! Old iron that is cut with nothing to hold what is left.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::hung::{clamps, is_hung};
use crate::rule::rule;
use truefall_model::catalog::material::Material;
use truefall_model::job::pipes::Base;
use truefall_model::place::{Run, RunKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where a stack stands on old iron that is cut off, a clamp is listed near the cut, to be put on before it is made.
    ///
    /// # Why
    ///
    /// Nobody knows what carries old iron until it is cut. A stack held by lath alone dropped 2 ft and cracked what was below.
    /// Twenty feet of it is heavier than a man can hold.
    ///
    /// # Source
    ///
    /// Common practice, not code.
    ///
    /// # Limits
    ///
    /// It is a warning. It looks at the end the job stands on: what is above the cut and comes out has to be held as well, and
    /// the job does not know it. A hub that is cleaned out is not cut.
    ///
    /// # Example
    ///
    /// A 2 in hubless stack is cut 2-1/2 ft below the floor and the job lists no clamp on it.
    "iron-cut-not-held", Iron,
    House("what carries old iron is not known until it is cut"),
    "old iron is cut with nothing listed to hold it",
    figures: ["iron-cut-held"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for run in &ctx.rough_in.runs {
        out.extend(judge(ctx, run));
    }
}

fn judge(ctx: &Ctx<'_>, run: &Run) -> Option<Finding> {
    let RunKind::Stack { index, base, .. } = &run.kind else { return None };
    let Base::CutPipe { material: Material::Iron | Material::IronHubless, size, .. } =
        &ctx.job.stacks[*index].base
    else {
        return None;
    };
    let figure = ctx.profile.figure("iron-cut-held");
    let limit = Limit::AtMost(figure.value);
    let nearest = clamps(ctx, run).into_iter().map(f64::abs).min_by(f64::total_cmp);
    if is_hung(ctx, run) {
        return None;
    }
    let (verdict, holds) = match nearest {
        Some(off) if limit.allows(off) => (ctx.passes.then_some(Verdict::Pass)?, "and a clamp holds it"),
        _ => (Verdict::Watch, "with no clamp listed to hold it"),
    };
    let what = format!("the old {size} in iron under {} is cut {holds}", run.label);
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([&run.label])
        .at(ctx.placed.origin(*base));
    let finding = match nearest {
        Some(off) => finding.measured(off, limit, "in").line(format!(
            "the nearest clamp is {} off, at most {}",
            Length::inches(off),
            figure.length()
        )),
        None => finding.line("no clamp is listed on this stack"),
    };
    Some(finding.help(format!(
        "clamp it to framing within {} of the cut, and what comes out above it too, before the first cut",
        figure.length()
    )))
}
