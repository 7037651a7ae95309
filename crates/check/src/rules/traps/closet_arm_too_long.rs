//! A closet farther from its vent than the code lets it be.

use crate::arm::{bore, leg_down};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::{against, enough};
use crate::rule::rule;
use crate::vent::Trap;
use truefall_model::place::PartId;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where the code limits it, the way from the top of a closet's flange to the inner edge of its vent is no longer than that,
    /// along the centre line, the drop under the flange counted in.
    ///
    /// # Why
    ///
    /// A closet empties itself by a siphon and fills its trap again, so some codes set no limit; one holds it to a length all the
    /// same, so that the air is near when the siphon breaks.
    ///
    /// # Source
    ///
    /// The code's section on trap arms. The IRC and the IPC set none for closets, and nothing is looked at there.
    ///
    /// # Limits
    ///
    /// The length goes from centre to centre of the fittings, less half the bore of the vent's port. A closet without a vent is
    /// told by `trap-not-vented`; methods that limit the branch themselves are left to it too.
    ///
    /// # Example
    ///
    /// A closet whose flange is 14 in over its arm and 60 in level from the stack that vents it, under the UPC: 72 in are allowed.
    "closet-arm-too-long", Traps, Code,
    "a closet is too far from its vent",
    figures: [],
    finds: ["closet-arm-length"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("closet-arm-length") else { return };
    let closets = ctx.vents.traps.iter().filter(|t| ctx.job.fixtures[t.fixture].kind.on_flange());
    for trap in closets {
        let Some((fitting, port)) = trap.arm_end() else { continue };
        let Some((steps, half_bore)) = way(ctx, trap, fitting, port) else { continue };
        let length = steps.iter().map(|s| s.1).sum::<Length>() - half_bore;
        let limit = Limit::AtMost(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(length.to_inches()), 0.0) else { continue };
        let name = ctx.fixture(trap.fixture);
        let [reads, most] = against(length, figure.length());
        let what = format!("{name} is {reads} from its vent at {}, at most {most}", ctx.label(fitting));
        let step =
            |(to, length): &(PartId, Length)| format!("to {}: {:.3} in", ctx.label(*to), length.to_inches());
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(fitting)])
                .at(trap.at)
                .measured(length.to_inches(), limit, "in")
                .lines(steps.iter().map(step))
                .line(format!("less half the vent's bore, {:.3}", half_bore.to_inches()))
                .help(format!("bring a vent {} nearer to the closet", enough(length - figure.length()))),
        );
    }
}

/// The straight lengths from a closet's ring to the fitting of its vent, and half the bore of the vent's port.
fn way(ctx: &Ctx<'_>, trap: &Trap, fitting: PartId, port: usize) -> Option<(Vec<(PartId, Length)>, Length)> {
    let (mut at, mut from) = (trap.part, trap.at);
    let mut steps = Vec::new();
    while at != fitting {
        at = leg_down(ctx.rough_in, at)?.low;
        let to = ctx.placed.origin(at);
        steps.push((at, Length::inches((to - from).norm())));
        from = to;
    }
    Some((steps, bore(ctx.rough_in, fitting, port) / 2.0))
}
