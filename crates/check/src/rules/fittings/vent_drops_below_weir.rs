//! A wye or combination on a vertical as the fitting of a trap's vent.

use crate::arm::arms;
use crate::arm_shape::low_entry;
use crate::ctx::Ctx;
use crate::cure::fit::swaps;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::catalog::family::Family;

rule! {
    /// # What it checks
    ///
    /// Where a trap arm meets its vent at a vertical pipe, the fitting lets the air in no lower than the weir: where the
    /// arm comes in by the branch of a wye or a combination, the centre line has fallen no more than the arm's own size by
    /// the time it meets the vertical's.
    ///
    /// # Why
    ///
    /// The branch of a wye or combination runs down before it joins. Full of water it shuts the air off, and the trap is
    /// siphoned as by an S-trap. A sanitary tee opens at the arm's own level.
    ///
    /// # Source
    ///
    /// The code's limit on the fall of a fixture drain to its vent, as trade teaching applies it to these fittings.
    ///
    /// # Limits
    ///
    /// An arm that is vented before it gets there may join by one, and is not told. Closets are exempt and have no arm
    /// here. The vent is found as `trap-arm-too-long` finds it. On a lying drain a wye is right and not looked at.
    /// An arm that comes in by a sanitary tee has nothing to measure, so no pass is told.
    ///
    /// # Example
    ///
    /// A lavatory's arm joins its vented stack by a combination. The arm has fallen 1/2 in to it and turns down 2-7/8 in more in it;
    /// 1-1/2 in in all are allowed: tagged.
    "vent-drops-below-weir", Fittings, Code,
    "a wye or combination takes a trap's vent below its weir",
    figures: ["trap-arm-fall"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("trap-arm-fall");
    for arm in arms(ctx) {
        let Some(entry) = low_entry(ctx, &arm) else { continue };
        let most = arm.size.nominal() * figure.value;
        let limit = Limit::AtMost(most.to_inches());
        let Some(verdict) = ctx.verdict(limit.margin(entry.fall.to_inches()), 0.0) else { continue };
        let name = &ctx.job.fixtures[arm.fixture].name;
        let fitting = ctx.label(entry.fitting);
        let pattern = ctx.rough_in.part(entry.fitting).pattern().map_or("", |p| p.name.as_str());
        let what = format!(
            "the trap arm of {name} meets its vent in {fitting} ({pattern}) {} below the weir, at most {most}",
            entry.fall
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(arm.trap), fitting])
                .at(entry.at)
                .measured(entry.fall.to_inches(), limit, "in")
                .line(format!(
                    "from over the weir down to where the branch meets the run: {:.3} in",
                    entry.fall.to_inches()
                ))
                .line(format!(
                    "at most {} x {} in = {:.3}: {:.3} over",
                    figure.value,
                    arm.size,
                    most.to_inches(),
                    (entry.fall - most).to_inches()
                ))
                .help("join by a sanitary tee, or vent the arm before it gets there")
                .cure(swaps(ctx, entry.fitting, &[Family::SanitaryTee])),
        );
    }
}
