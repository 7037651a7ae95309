//! A branch that joins a drain just below the foot of a stack.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::flow::{Passage, Turn, is_down, next_fitting, passages, passages_of};
use crate::number::{against, enough};
use crate::rule::rule;
use truefall_model::place::PartId;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// A branch joins the level drain below a stack, or the level part of an offset in it, no nearer than ten diameters
    /// of the stack downstream of where it turns level.
    ///
    /// # Why
    ///
    /// At the foot of a stack the water piles up. A branch there is filled from below and its traps are blown or
    /// sucked.
    ///
    /// # Source
    ///
    /// The code's distance, where the profile has one. The UPC has another rule, about suds from three floors up: see
    /// `branch-in-suds-zone`.
    ///
    /// # Limits
    ///
    /// A stack is a vertical, its vent counted in, at least a branch interval tall (`stack-storey`); a short drop of a
    /// fixture's drain is none. Existing drains below a base are not known. The distance goes along the centre lines from
    /// the crossing of axes at the turn to that in the branch's fitting; the size is that of the stack's lowest fitting. A
    /// branch on the stack itself, just above its foot, is fine.
    ///
    /// # Example
    ///
    /// A 3 in stack turns level; 14 in on, a wye takes a shower: 30 are needed.
    "branch-near-stack-base", Fittings, Code,
    "a branch joins too near below the foot of a stack",
    figures: ["stack-storey"],
    finds: ["base-to-branch"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("base-to-branch") else { return };
    let storey = ctx.profile.figure("stack-storey").length();
    for foot in passages(ctx) {
        if foot.turn(ctx) != Some(Turn::DownToLevel) || rises(ctx, &foot) < storey {
            continue;
        }
        let least = foot.size.nominal() * figure.value;
        for (joins, branch, at) in branches_below(ctx, &foot, least) {
            let limit = Limit::AtLeast(least.to_inches());
            let (base, fitting) = (ctx.label(foot.fitting), ctx.label(joins));
            let Some(verdict) = ctx.verdict(limit.margin(at.to_inches()), 0.0) else { continue };
            let [reads, needs] = against(at, least);
            let what = format!(
                "{} joins at {fitting}, {reads} below the foot of the {} in stack at {base}, needs at least {needs}",
                ctx.label(branch),
                foot.size
            );
            out.push(
                Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                    .on([fitting, base])
                    .at(ctx.placed.origin(joins))
                    .measured(at.to_inches(), limit, "in")
                    .line(format!("from {base} to {fitting} along the centre line {:.3} in", at.to_inches()))
                    .line(format!("{} x {} in = {:.3}", figure.value, foot.size, least.to_inches()))
                    .line(format!(
                        "{:.3} - {:.3} = {:.3}",
                        at.to_inches(),
                        least.to_inches(),
                        (at - least).to_inches()
                    ))
                    .help(format!(
                        "join {} farther downstream, or by a tee on the stack just above its foot",
                        enough(least - at)
                    )),
            );
        }
    }
}

/// How far plumb pipe goes up from a foot, vent and all.
pub(super) fn rises(ctx: &Ctx<'_>, foot: &Passage) -> Length {
    let rough_in = ctx.rough_in;
    let low = ctx.placed.origin(foot.fitting).z;
    let (mut high, mut todo) = (low, vec![(foot.fitting, foot.from)]);
    while let Some((below, part)) = todo.pop() {
        let down = rough_in.network.down[part.0 as usize].map(|j| rough_in.joint(j));
        let Some(joint) = down.filter(|j| j.low.0 == below) else { continue };
        if is_down(ctx, ctx.placed.axis(rough_in, part, joint.high.1)) != Some(true) {
            continue;
        }
        let tops = (0..rough_in.part(part).ports().len()).map(|port| ctx.placed.stop(rough_in, part, port).z);
        high = tops.fold(high, f64::max);
        todo.extend(rough_in.network.above(part).map(|(_, above)| (part, above)));
    }
    Length::inches(high - low)
}

/// The wet branches that join downstream of a foot while the drain stays level, where passes are not asked for only those
/// nearer than `least`: fitting, the part
/// that joins, and how far along.
pub(super) fn branches_below(ctx: &Ctx<'_>, foot: &Passage, least: Length) -> Vec<(PartId, PartId, Length)> {
    let mut found = Vec::new();
    let (mut at, mut along) = (foot.fitting, Length::ZERO);
    let mut way = foot.travel_out;
    while let Some(next) = next_fitting(ctx, at).filter(|_| is_down(ctx, way) == Some(false)) {
        along += Length::inches((ctx.placed.origin(next) - ctx.placed.origin(at)).norm());
        if !ctx.passes && Limit::AtLeast(least.to_inches()).allows(along.to_inches()) {
            break;
        }
        let all = passages_of(ctx, next);
        let holds = |p: &&Passage| ctx.rough_in.network.subtree(p.from).contains(&foot.fitting);
        let Some(main) = all.iter().find(holds) else { break };
        found.extend(all.iter().filter(|p| p.from != main.from).map(|p| (next, p.from, along)));
        (at, way) = (next, main.travel_out);
    }
    found
}
