//! A piece of pipe shorter than the sockets it has to fill.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::{against, enough};
use crate::rule::rule;
use truefall_model::place::Trouble;
use truefall_model::place::{Part, PartKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Every cut piece is at least as long as the sockets at its ends are deep: the make-up piece, hubs face to face and no
    /// pipe showing.
    ///
    /// # Why
    ///
    /// With less than that the two fittings are in each other's way and the height can't be had.
    ///
    /// # Source
    ///
    /// Our own rule: geometry. Socket depths are the catalog's, or those measured in the hand.
    ///
    /// # Limits
    ///
    /// Exactly the make-up piece passes; a saw cut and a bead of glue are not taken off. Sockets are taken as filled to the
    /// stop.
    ///
    /// # Example
    ///
    /// Two 3 in fittings whose sockets are 1-1/2 in deep need 3 in of pipe between stops. Heights that leave 2-3/4 are tagged.
    "piece-too-short", Fittings,
    House("two hubs can't come nearer than face to face"),
    "a piece is shorter than the sockets it goes into",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.passes {
        out.extend(ctx.rough_in.parts.iter().filter_map(|part| long_enough(ctx, part)));
    }
    for trouble in &ctx.rough_in.troubles {
        let Trouble::ShortPiece { piece, cut, least } = trouble else { continue };
        let label = ctx.label(*piece);
        let short = *least - *cut;
        let what = if cut.to_inches() < 0.0 {
            format!(
                "{label} has no room: its ends overlap by {}, the sockets need {least} of pipe",
                cut.abs()
            )
        } else {
            let [cut, least] = against(*cut, *least);
            format!("{label} comes out {cut} long, the sockets need at least {least}")
        };
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
                .on([label, &ctx.rough_in.run(ctx.rough_in.part(*piece).run).label])
                .at(ctx.placed.origin(*piece))
                .measured(cut.to_inches(), Limit::AtLeast(least.to_inches()), "in")
                .line(format!("stop to stop {:.3} in", cut.to_inches()))
                .line(format!("both sockets together {:.3} in", least.to_inches()))
                .line(format!("{:.3} - {:.3} = {:.3} in", cut.to_inches(), least.to_inches(), -short.to_inches()))
                .help(format!("move its two fittings {} farther apart, or join them without a piece: a street fitting saves one socket", enough(short))),
        );
    }
}

/// A piece between two hubs that fills both.
fn long_enough(ctx: &Ctx<'_>, part: &Part) -> Option<Finding> {
    let PartKind::Piece { cut, .. } = part.kind else { return None };
    let hub = |port: usize| {
        let own = (part.id, port);
        let joint = ctx.rough_in.joints.iter().find(|j| j.low == own || j.high == own)?;
        let (other, at) = if joint.low == own { joint.high } else { joint.low };
        ctx.rough_in.part(other).ports().get(at).map(|p| p.socket)
    };
    let least = hub(0)? + hub(1)?;
    let limit = Limit::AtLeast(least.to_inches());
    if least <= Length::ZERO || !limit.allows(cut.to_inches()) {
        return None;
    }
    let what = format!("{} is {cut} long, the sockets need at least {least}", part.label);
    Some(
        Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, RULE.source())
            .on([&part.label, ctx.run_of(part.id)])
            .at(ctx.placed.origin(part.id))
            .measured(cut.to_inches(), limit, "in")
            .line(format!("both sockets together {:.3} in", least.to_inches())),
    )
}
