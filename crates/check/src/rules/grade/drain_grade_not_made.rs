//! A grade that was aimed at and that the rigid parts don't make.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::place::{Leg, Trouble};
use truefall_model::units::Grade;

rule! {
    /// # What it checks
    ///
    /// A leg's stated grade can be had from the pitch built into the fittings, the roll of true bends and the small angle
    /// its joint can be set to before it takes.
    ///
    /// # Why
    ///
    /// A glued joint can't be bent to a grade afterwards. The leg comes out at what the parts make, and what hangs on
    /// it lands elsewhere than on paper.
    ///
    /// # Source
    ///
    /// Our own rule; the angle a joint can be set to is the catalog's, per kind and size of joint.
    ///
    /// # Limits
    ///
    /// What the grade comes to is told; whether it is enough is told by `drain-too-flat`. Seat allowances are mostly from
    /// memory: try the joint dry.
    ///
    /// # Example
    ///
    /// A sanitary tee has a pitch of 1/4 in per ft. A drain at 3/4 in per ft off it wants its joint set 2.4 degrees; a 2 in
    /// joint can be set about 0.9.
    "drain-grade-not-made", Grade,
    House("rigid parts make the grade they make; a target that needs a forced joint is not built"),
    "a stated grade asks a joint for more than it can be set to",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let rough_in = ctx.rough_in;
    for trouble in &rough_in.troubles {
        let Trouble::Seat { joint, wanted, seat } = trouble else { continue };
        let sides = rough_in.joint(*joint);
        let name = ctx.joint_name(*joint);
        let what =
            format!("{name} would have to be set {} for the grade asked, can be set {seat}", wanted.abs());
        let mut finding = Finding::new(RULE.id, Verdict::Watch, ctx.placement(), what, RULE.source())
            .on([ctx.label(sides.low.0), ctx.label(sides.high.0)])
            .at(ctx.placed.stop(rough_in, sides.high.0, sides.high.1))
            .measured(wanted.to_degrees().abs(), Limit::AtMost(seat.to_degrees()), "deg");
        if let Some(leg) = rough_in.legs.iter().find(|leg| leg.joint == *joint) {
            let makes = rough_in.grade(ctx.rough_in.placed(ctx.job.cut_on), leg.id).unwrap_or(Grade::LEVEL);
            if let Some(target) = leg.target {
                finding = finding.line(format!("{} is aimed at {target}", ctx.leg_name(leg.id)));
            }
            finding = finding
                .line(format!("that is {} off the line the parts make; the joint gives {seat}", wanted.abs()))
                .line(format!("the parts make {makes}"))
                .help(format!(
                    "take {makes} as the grade, or use a fitting that turns the missing {}",
                    over(*wanted, *seat)
                ));
        }
        out.push(finding);
    }
    if ctx.passes {
        out.extend(rough_in.legs.iter().filter_map(|leg| pass(ctx, leg)));
    }
}

/// A grade aimed at that its joint can be set to.
fn pass(ctx: &Ctx<'_>, leg: &Leg) -> Option<Finding> {
    let (target, joint) = (leg.target?, ctx.rough_in.joint(leg.joint));
    let limit = Limit::AtMost(joint.seat.to_degrees());
    let wanted = joint.wanted.to_degrees().abs();
    let told = |t: &Trouble| matches!(t, Trouble::Seat { joint, .. } if *joint == leg.joint);
    if !limit.allows(wanted) || ctx.rough_in.troubles.iter().any(told) {
        return None;
    }
    let what = format!("{} has {target} with its joint set {}", ctx.leg_name(leg.id), joint.wanted.abs());
    Some(
        Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, RULE.source())
            .on([ctx.label(joint.low.0), ctx.label(joint.high.0)])
            .at(ctx.placed.stop(ctx.rough_in, joint.high.0, joint.high.1))
            .measured(wanted, limit, "deg"),
    )
}

fn over(
    wanted: truefall_model::units::Angle,
    seat: truefall_model::units::Angle,
) -> truefall_model::units::Angle {
    wanted.abs() - seat
}
