//! A hole that leaves too little wood to a stud's face.

use super::stud_bore_too_large::fits;
use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_stud, short};
use crate::ctx::Ctx;
use crate::cure::fit::bore_to_the_middle;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    /// The wood left between a hole and the nearer face of its stud.
    ///
    /// # Why
    /// The outer fibres carry most of a stud's strength.
    ///
    /// # Source
    /// IRC R602.6. One printing of the 2018 edition has the sense turned round by mistake; it is a least distance.
    ///
    /// # Limits
    /// Only holes whose size passes; a hole that is too large is one fault, told once. A hole that breaks through the face
    /// is a notch.
    ///
    /// # Example
    /// A 2 in hole in a 2x4 stud may sit 1/8 in off centre; at 1/4 in it leaves 1/2 in.
    "stud-bore-too-near-edge", Wood, Code,
    "a hole leaves too little wood to a stud's face",
    figures: ["stud-edge"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("stud-edge");
    for told in Told::each(ctx, is_stud) {
        let (cut, least) = (told.bore.cut, figure.length());
        let limit = Limit::AtLeast(least.to_inches());
        if cut.shape != Shape::Hole || !fits(&told) {
            continue;
        }
        let Some(verdict) = ctx.verdict(limit.margin(cut.least().to_inches()), 0.0) else { continue };
        let (left, missing) = (decimal(cut.least()), least - cut.least());
        let what = format!(
            "hole of {} for {} of {} leaves {left} to the face of {}, needs {least}",
            told.bore.drilled.hole,
            told.passes(),
            told.run(),
            told.member.label
        );
        let finding = told
            .finding(RULE.id, verdict, what, figure.source())
            .measured(cut.least().to_inches(), limit, "in")
            .line(format!(
                "wood left to the back {}, to the room's side {}",
                decimal(cut.low),
                decimal(cut.high)
            ))
            .line(format!("needed {}", decimal(least)))
            .line(short(missing));
        let room = told.member.depth() - cut.width - least * 2.0;
        out.push(match room.to_inches() >= 0.0 {
            true => finding
                .help(format!("move it {} towards the middle of the stud", decimal(missing)))
                .cure(bore_to_the_middle(&told, false)),
            false => finding.help(format!(
                "no hole over {} leaves enough on both sides",
                decimal(told.member.depth() - least * 2.0)
            )),
        });
    }
}
