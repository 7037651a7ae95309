//! A notch in the underside of a thick joist or beam.

use super::joist_notch_in_middle_third::zone;
use super::joist_notch_too_deep::fits;
use crate::bore::telling::{Told, decimal, is_solid_joist};
use crate::bore::{Shape, Side, Zone};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// Whether a joist, rafter, beam or header of 4 in nominal thickness or more is notched from below between its ends.
    ///
    /// # Why
    /// The underside is in tension; in thick timber a notch there splits on.
    ///
    /// # Source
    /// IRC R502.8.1. It goes by thickness: ordinary joists of 1-1/2 in are not meant.
    ///
    /// # Limits
    /// The underside is taken as the side in tension, as of a member that rests on its ends; over a middle support or in an
    /// overhang it is the top. Only notches whose depth passes.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    /// A vent notches the underside of a 4x10 beam 2 ft from its end.
    "joist-notch-on-tension-side", Wood, Code,
    "the underside of a thick joist or beam is notched",
    figures: ["joist-tension-thick", "joist-seat"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("joist-tension-thick");
    for told in Told::each(ctx, is_solid_joist) {
        let Shape::Notch { from, depth, .. } = told.bore.cut.shape else { continue };
        let thick = told.member.thickness();
        let limit = Limit::AtLeast(figure.value);
        if from != Side::Low
            || !limit.allows(thick.to_inches())
            || zone(&told) != Zone::Outer
            || !fits(&told, depth)
        {
            continue;
        }
        let what = format!(
            "notch for {} of {} is in the underside of {}, which is {thick} thick",
            told.passes(),
            told.run(),
            told.member.label
        );
        out.push(
            told.finding(RULE.id, Verdict::RedTag, what, figure.source())
                .reading(depth.to_inches(), "in")
                .line(format!("{thick} thick, {} and more may not be notched from below", figure.length()))
                .line(format!("notch {} deep", decimal(depth)))
                .help("bore it within the depth, or go under it"),
        );
    }
}
