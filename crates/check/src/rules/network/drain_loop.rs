//! Two drains that meet in a loop, so that waste can go two ways.

use crate::ctx::Ctx;
use crate::drain::carried;
use crate::finding::{Finding, Verdict};
use crate::load::names;
use crate::rule::rule;
use truefall_model::job::pipes::System;

rule! {
    /// # What it checks
    ///
    /// No run that is tied into another fitting gives waste a second way down: waste comes down to the fitting it is tied to and
    /// the run is not said to be a vent, or the job says that the run is a drain.
    ///
    /// # Why
    ///
    /// Where waste can go two ways neither way is washed clean, and the loop has no air.
    ///
    /// # Source
    ///
    /// Our own rule: drains branch, they don't meet again.
    ///
    /// # Limits
    ///
    /// A vent tied back in where nothing drains is no loop. One said to be a vent and tied in where waste still comes down is not
    /// told here: how high it ties in is for the rules of venting. Where nothing flows through the fitting in the job but does
    /// in the existing work above it, that is not seen.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A lower branch is tied into the stack's tee a storey up, through which an upper bath drains: tagged.
    "drain-loop", Network,
    House("waste has one way down"),
    "two drains meet in a loop",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let carried = carried(ctx);
    let rough_in = ctx.rough_in;
    for joint in rough_in.joints.iter().filter(|j| j.closing) {
        let (fitting, tied) = (joint.low.0, joint.high.0);
        let run = rough_in.run(rough_in.part(tied).run);
        let passing = &carried[fitting.0 as usize];
        let is_said = run.system == Some(System::Drain);
        if !is_said && (run.system.is_some() || passing.is_empty()) {
            continue;
        }
        let into = ctx.label(fitting);
        let what = match passing.is_empty() {
            true => format!(
                "{} is said to be a drain and is tied into {into}: both its ends lead down",
                run.label
            ),
            false => {
                format!("{} is tied into {into}: {} can go two ways down", run.label, names(ctx, passing))
            }
        };
        let labels = [&run.label, into].into_iter().chain(passing.iter().map(|f| &ctx.job.fixtures[*f].name));
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
                .on(labels)
                .at(ctx.placed.stop(rough_in, joint.low.0, joint.low.1))
                .line(format!("one way down by {into}, the other by {}", run.label))
                .help(
                    "tie it in above everything that drains there if it is a vent, and say so; else end it",
                ),
        );
    }
}
