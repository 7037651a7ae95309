//! Pipe in wood where no hole or notch lets it through.

use crate::bore::WhyNot;
use crate::bore::telling::{decimal, kind_word, part_name};
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use crate::source::Source;
use truefall_model::framing::member::MemberKind;

rule! {
    /// # What it checks
    /// A part that overlaps a member by more than 1/64 in where no single hole through the member's thickness and no
    /// single notch makes the passage: it runs along the member, bends inside it, ends in it, or the hole takes its
    /// whole depth.
    ///
    /// # Why
    /// What can't be drilled or notched is found on the day with the pipe in the hand and the branch already glued.
    ///
    /// # Source
    /// Our own; two solid things don't share a space.
    ///
    /// # Limits
    /// Members are straight boxes: wane, crook and old cuts are not seen. Of an I-joist or truss the box around it is
    /// looked at, so pipe in its open web is a question, not a red tag. Cutting the member and heading it off is not
    /// thought of. A plate or sheet of subfloor that is cut through is a hole, not a clash.
    /// How near a pipe comes to wood it misses is not measured, so no pass is told.
    ///
    /// # Example
    /// A 3 in pipe lies across a wall of 2x4 studs: its hole of 3-5/8 in takes the whole 3-1/2 in of each.
    "clash-with-wood", Wood, House("two solid things don't share a space"),
    "pipe in wood where no hole or notch lets it through",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for clash in &ctx.facts.wood_clashes {
        let Some(member) = ctx.rough_in.framed.member_of(clash.member) else { continue };
        let (name, wood) = (part_name(ctx, clash.part), &member.label);
        let made_up = matches!(member.kind, MemberKind::IJoist | MemberKind::Truss);
        let verdict = if made_up { Verdict::Ask } else { Verdict::RedTag };
        let depth = decimal(clash.depth);
        let what = match clash.why {
            WhyNot::NoPassage => {
                format!("{name} is {depth} in deep in {wood}, and no single hole or notch lets it through")
            }
            WhyNot::WholeDepth { hole } => {
                format!("{name} needs a hole of {hole} in {wood}, which is {} deep", member.depth())
            }
        };
        let source = Source::house("two solid things don't share a space");
        let mut finding = Finding::new(RULE.id, verdict, clash.placement, what, source)
            .on([wood, ctx.label(clash.part)])
            .on(clash.parts.iter().filter(|p| **p != clash.part).map(|p| ctx.label(*p)))
            .at(clash.at)
            .reading(clash.depth.to_inches(), "in");
        if let WhyNot::WholeDepth { hole } = clash.why {
            finding = finding
                .line(format!("{} depth {}", kind_word(member.kind), member.depth()))
                .line(format!("hole {hole}"));
        }
        finding = finding.line(format!("shortest way out of the wood {depth}"));
        out.push(match made_up {
            true => finding
                .help("the box around the member was looked at; see whether the pipe passes in its web"),
            false => finding.help(format!("move it at least {depth} in, or move the member")),
        });
    }
}
