//! Too little straight iron for a coupling.

use crate::bore::telling::short;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::catalog::material::Material;
use truefall_model::job::pipes::{Base, Stack};
use truefall_model::place::{Run, RunKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where old iron is cut to take a coupling, the straight barrel measured from the cut to the next hub or fitting is as
    /// long as the part of the sleeve that goes on it, and enough more to slide it.
    ///
    /// # Why
    ///
    /// Old stacks are short fittings hub to hub. One owner found five feet of fittings and the next straight length 6 ft up:
    /// a cut between hubs leaves nothing to grip.
    ///
    /// # Source
    ///
    /// Our own rule: the sleeve is the catalog's, what it wants beside it is common practice.
    ///
    /// # Limits
    ///
    /// Only iron is looked at, and only where the job stands on a cut end. Not measured, it is told as not checked. Whether the
    /// barrel is round, thick and sound enough to be cut is for the hammer and the eye.
    ///
    /// # Example
    ///
    /// The barrel goes on for 1-1/4 in below the cut: half of a 2-1/8 in sleeve and 1/2 in to slide it want 1-9/16.
    "iron-straight-too-short", Iron,
    House("a coupling seals on straight barrel only"),
    "there is too little straight iron for a coupling",
    figures: ["iron-straight-spare"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for run in &ctx.rough_in.runs {
        out.extend(judge(ctx, run));
    }
}

fn judge(ctx: &Ctx<'_>, run: &Run) -> Option<Finding> {
    let RunKind::Stack { index, base, .. } = &run.kind else { return None };
    let straight = cut_iron(&ctx.job.stacks[*index])?;
    let joint = ctx.rough_in.joints.iter().find(|j| j.low.0 == *base && !j.closing)?;
    let (coupling, port) = joint.high;
    let sleeve = ctx.rough_in.part(coupling).ports().get(port)?.socket;
    let spare = ctx.profile.figure("iron-straight-spare");
    let needs = sleeve + spare.length();
    let finding = |verdict, what: String| {
        Finding::new(RULE.id, verdict, ctx.placement(), what, spare.source())
            .on([&run.label, ctx.label(coupling)])
            .at(ctx.placed.origin(*base))
            .line(format!("{} covers {:.3} in of it", ctx.label(coupling), sleeve.to_inches()))
            .line(format!(
                "{:.3} + {:.3} to slide it = {:.3} in",
                sleeve.to_inches(),
                spare.value,
                needs.to_inches()
            ))
    };
    let Some(straight) = straight else {
        let what = format!("how far the iron under {} is straight from its cut was not measured", run.label);
        let help =
            format!("measure from the cut to the next hub, {needs} at least, and give it as `straight`");
        return Some(finding(Verdict::NotChecked, what).help(help));
    };
    let limit = Limit::AtLeast(needs.to_inches());
    let verdict = ctx.verdict(limit.margin(straight.to_inches()), 0.0)?;
    let what = format!(
        "the iron under {} is straight for {straight} from its cut, {} needs at least {needs}",
        run.label,
        ctx.label(coupling)
    );
    let missing = needs - straight;
    Some(
        finding(verdict, what)
            .measured(straight.to_inches(), limit, "in")
            .line(format!(
                "{:.3} in, at least {:.3}: {}",
                straight.to_inches(),
                needs.to_inches(),
                short(missing)
            ))
            .help(format!("cut it {missing} farther from the hub, or take the joint apart and use the hub")),
    )
}

/// The straight length given for cut iron; none where the stack stands on something else.
#[expect(clippy::option_option, reason = "whether it is cut iron, and whether it was measured")]
fn cut_iron(stack: &Stack) -> Option<Option<Length>> {
    match &stack.base {
        Base::CutPipe { material, straight, .. } | Base::Stub { material, straight, .. } => {
            matches!(material, Material::Iron | Material::IronHubless).then_some(*straight)
        }
        Base::IronHub { .. } | Base::IronBranch { .. } => None,
    }
}
