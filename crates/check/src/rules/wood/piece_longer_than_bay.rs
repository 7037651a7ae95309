//! A piece that can't be slid into its holes.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::insert::{Straight, insertion};
use crate::rule::rule;
use std::collections::BTreeSet;
use truefall_model::catalog::material::Material;
use truefall_model::framing::member::MemberId;
use truefall_model::place::{Part, PartKind};
use truefall_model::units::Length;

/// A hole whose centre is no farther off a piece's line lets the piece by: the usual play of a pipe in its hole.
const IN_LINE_IN: f64 = 0.25;

rule! {
    /// # What it checks
    ///
    /// A straight piece that goes through bored studs, joists or plates can be slid in along its own line from one side: there
    /// it has its whole length free, up to the next wood that has no hole on that line.
    ///
    /// # Why
    ///
    /// Rigid pipe does not bend round a stud. A piece longer than the bay it has to start from is cut twice and coupled, and
    /// the coupling then needs its own place in a bay.
    ///
    /// # Source
    ///
    /// Common practice: closed bays take pieces no longer than themselves.
    ///
    /// # Limits
    ///
    /// It watches and does not tag: a piece may be swung in by the play of its hole, thin pipe gives a little, and wood can be
    /// set after the pipe; none of that is counted. Only wood stops a piece here; iron, other pipe, keep-outs and the ground do
    /// not. PEX bends and is left out.
    ///
    /// # Example
    ///
    /// A 24 in piece goes through one stud of a wall laid out 16 in on centre: the bays on both sides are 14-1/2 in.
    "piece-longer-than-bay", Wood, House("rigid pipe goes into closed bays only in pieces no longer than they are"),
    "a piece is longer than the bay it has to be slid in from",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let mut by_part: Vec<BTreeSet<MemberId>> = vec![BTreeSet::new(); ctx.rough_in.parts.len()];
    for bore in &ctx.facts.bores {
        for part in &bore.parts {
            by_part[part.0 as usize].insert(bore.member);
        }
    }
    for part in &ctx.rough_in.parts {
        let bored = &by_part[part.id.0 as usize];
        if !bored.is_empty() {
            out.extend(judge(ctx, part, bored));
        }
    }
}

fn judge(ctx: &Ctx<'_>, part: &Part, bored: &BTreeSet<MemberId>) -> Option<Finding> {
    let PartKind::Piece { outside, .. } = part.kind else { return None };
    if part.material == Material::Pex {
        return None;
    }
    let (a, b) = (ctx.placed.stop(ctx.rough_in, part.id, 0), ctx.placed.stop(ctx.rough_in, part.id, 1));
    let piece = Straight { a, b, outside };
    let way = (b - a).normalize();
    let open = ctx.facts.bores.iter().filter(|bore| {
        let off = bore.centre - a;
        (off - way * off.dot(&way)).norm() <= IN_LINE_IN && bore.drilled.hole >= outside
    });
    let open: BTreeSet<MemberId> = open.map(|bore| bore.member).collect();
    let way_in = insertion(&piece, &ctx.rough_in.framed.members, bored, &open)?;
    let longest = way_in.longest()?;
    let limit = Limit::AtMost(longest.to_inches());
    let verdict = match ctx.verdict(limit.margin(way_in.piece.to_inches()), 0.0)? {
        Verdict::Pass => Verdict::Pass,
        _ => Verdict::Watch,
    };
    let run = ctx.run_of(part.id);
    let what = format!(
        "the piece {} of {run} is {} long; slid in straight it may be {} between closed bays",
        part.label, way_in.piece, longest
    );
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, RULE.source())
        .on([run, &part.label])
        .at(nalgebra::center(&a, &b))
        .measured(way_in.piece.to_inches(), limit, "in");
    for (side, end) in [(way_in.a, "towards its base"), (way_in.b, "outwards")] {
        let (Some(clear), Some(stop)) = (side.clear, side.stop) else { continue };
        let stop = &ctx.rough_in.framed.members[stop.0 as usize].label;
        finding = finding.line(format!("{end} {:.3} in are free up to {stop}", clear.to_inches()));
    }
    let over = way_in.piece - longest;
    Some(
        finding.line(format!("{:.3} in, at most {:.3}", way_in.piece.to_inches(), longest.to_inches())).help(
            format!(
                "make it of two with a coupling in a bay, or bore on in line: it is {} too long",
                Length::inches(over.to_inches().max(0.0))
            ),
        ),
    )
}
