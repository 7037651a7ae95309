//! A connection where the suds of a tall stack stand.

use super::branch_near_stack_base::{branches_below, rises};
use crate::ctx::Ctx;
use crate::drain::carried;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::{Passage, Turn, is_down, passages, passages_of};
use crate::load::names;
use crate::number::against;
use crate::rule::rule;
use std::collections::BTreeSet;
use truefall_model::place::PartId;
use truefall_model::tolerance::at_least;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where a stack takes the waste of as many storeys as the code says, suds among it, nothing else drains into it within the
    /// code's distance of the turn at its foot, neither above nor downstream of it.
    ///
    /// # Why
    ///
    /// Suds fall apart into water and foam where the stack turns. The foam stands there under pressure and comes up through the
    /// traps that are joined near by.
    ///
    /// # Source
    ///
    /// The UPC's section on suds relief, from memory. Other codes keep branches away from the foot of every stack instead: see
    /// `branch-near-stack-base`.
    ///
    /// # Limits
    ///
    /// It asks: the code excepts a house for one family, and the job does not say how many live there. Storeys are the floors
    /// that the fixtures above the turn stand on. Dishwashers are no fixtures of a job; they come with the sink. Offsets high up
    /// in a stack count like its foot; relief vents of parallel stacks and existing drains below a base are not looked at.
    ///
    /// # Example
    ///
    /// A stack of three storeys with tubs turns level; 28 in above the turn the lowest tub joins: 8 ft are asked for.
    "branch-in-suds-zone", Fittings, Code,
    "a branch joins where the suds of a tall stack stand",
    figures: ["stack-storey"],
    finds: ["suds-zone", "suds-storeys", "suds"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (Some(zone), Some(storeys)) = (ctx.profile.find("suds-zone"), ctx.profile.find("suds-storeys"))
    else {
        return;
    };
    let tall = ctx.profile.figure("stack-storey").length();
    for foot in passages(ctx) {
        if foot.turn(ctx) != Some(Turn::DownToLevel) || rises(ctx, &foot) < tall {
            continue;
        }
        let above = &carried(ctx)[foot.from.0 as usize];
        let floors: BTreeSet<&str> = above.iter().map(|f| ctx.job.fixtures[*f].floor.as_str()).collect();
        let makes_suds = |f: &&usize| {
            ctx.profile
                .find(&format!("suds.{}", ctx.job.fixtures[**f].kind.word()))
                .is_some_and(|s| s.value > 0.0)
        };
        let suds: Vec<usize> = above.iter().filter(makes_suds).copied().collect();
        if (floors.len() as f64) < storeys.value || suds.is_empty() {
            continue;
        }
        let reach = zone.length();
        let below = branches_below(ctx, &foot, reach).into_iter().map(|b| (b, "downstream of"));
        let upward = branches_above(ctx, &foot, reach).into_iter().map(|b| (b, "above"));
        for ((joins, branch, at), side) in below.chain(upward) {
            let limit = Limit::AtLeast(zone.value);
            let Some(verdict) = ctx.verdict(limit.margin(at.to_inches()), 0.0) else { continue };
            let verdict = if verdict == Verdict::Pass { verdict } else { Verdict::Ask };
            let [reads, needs] = against(at, reach);
            let base = ctx.label(foot.fitting);
            let what = format!(
                "{} joins at {}, {reads} {side} the turn at {base} of a stack with suds from {} floors, at least {needs}",
                ctx.label(branch),
                ctx.label(joins),
                floors.len()
            );
            out.push(
                Finding::new(RULE.id, verdict, ctx.placement(), what, zone.source())
                    .on([ctx.label(joins), base])
                    .at(ctx.placed.origin(joins))
                    .measured(at.to_inches(), limit, "in")
                    .line(format!("suds from {}", names(ctx, &suds)))
                    .line(format!(
                        "floors that drain through the turn: {}, from {} on",
                        floors.len(),
                        storeys.value
                    ))
                    .line(format!("from {base} to {} {:.3} in", ctx.label(joins), at.to_inches()))
                    .help(format!(
                        "a house for one family is excepted: ask; else join it {needs} or more from the turn"
                    )),
            );
        }
    }
}

/// The wet branches that join the vertical above a foot, where passes are not asked for only those nearer than `reach`:
/// fitting, the part that joins, and how high over the turn.
fn branches_above(ctx: &Ctx<'_>, foot: &Passage, reach: Length) -> Vec<(PartId, PartId, Length)> {
    let mut found = Vec::new();
    let base = ctx.placed.origin(foot.fitting);
    let mut at = Some(foot.from);
    while let Some(part) = at {
        let along = Length::inches((ctx.placed.origin(part) - base).norm());
        let all = passages_of(ctx, part);
        if all.is_empty() {
            // A piece: what stands on it.
            at = ctx.rough_in.network.above(part).map(|(_, p)| p).find(|p| ctx.is_wet(*p));
            continue;
        }
        if !ctx.passes && at_least(along, reach) {
            break;
        }
        let main = all.iter().find(|p| is_down(ctx, p.travel_in) == Some(true));
        found.extend(
            all.iter().filter(|p| main.is_none_or(|m| m.from != p.from)).map(|p| (part, p.from, along)),
        );
        at = main.map(|m| m.from);
    }
    found
}
