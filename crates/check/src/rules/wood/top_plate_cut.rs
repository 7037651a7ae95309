//! A top plate cut by more than half its width without a tie.

use crate::bore::telling::{Told, decimal, percent};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::framing::member::MemberKind;
use truefall_model::framing::provided::Provided;
use truefall_model::tolerance::at_most;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    /// How much of the width of a top plate of an outside or bearing wall a hole takes, and whether a tie across it is
    /// provided where that is more than half. A hole through both plates of a double top plate is told once, and a tie on
    /// either of them meets it.
    ///
    /// # Why
    /// Top plates tie the wall together along its length.
    ///
    /// # Source
    /// IRC R602.6.1. Exactly half is allowed without a tie.
    ///
    /// # Limits
    /// The tie is taken as made as the code wants it: gage, width, nails and reach are told, not checked. A tie stated for
    /// one place covers the cut it stands in the middle of. Bottom plates and walls that carry nothing have no such
    /// limit in the code.
    ///
    /// # Example
    /// A 3 in stack leaves a 2x6 wall through its top plates: its hole of 3-5/8 in takes 66 percent of 5-1/2.
    "top-plate-cut", Wood, Code,
    "a top plate is cut by more than half without a tie",
    figures: ["plate-cut", "plate-strap-thick", "plate-strap-wide", "plate-strap-past", "plate-strap-nails"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("plate-cut");
    for told in Told::each(ctx, |m| m.kind == MemberKind::TopPlate) {
        let over = !at_most(told.bore.cut.taken(), told.member.depth() * figure.value);
        if !told.bears() || !over || is_tied(&told) {
            continue;
        }
        let (width, most) = (told.member.depth(), told.member.depth() * figure.value);
        let what = format!(
            "hole for {} of {} takes {} % of {}, over {} % needs a tie and none is provided",
            told.passes(),
            told.run(),
            (told.bore.cut.taken() / width * 100.0).round(),
            told.member.label,
            percent(figure.value)
        );
        let read = |key: &str| ctx.profile.figure(key).value;
        out.push(
            told.finding(RULE.id, Verdict::RedTag, what, figure.source())
                .measured(told.bore.cut.taken().to_inches(), Limit::AtMost(most.to_inches()), "in")
            .lines(told.bearing_lines())
            .line(format!("{} % of its width {}", percent(figure.value), decimal(most)))
            .line(format!("over by {}", decimal(told.bore.cut.taken() - most)))
            .help(format!(
                "nail a galvanised tie at least {} thick and {} wide across it, {} past the opening with {} nails each side",
                read("plate-strap-thick"),
                Length::inches(read("plate-strap-wide")),
                Length::inches(read("plate-strap-past")),
                read("plate-strap-nails")
            )),
        );
    }
}

/// Whether a tie is at the cut, on any of the plates that lie on each other.
fn is_tied(told: &Told<'_>) -> bool {
    let reach = told.bore.drilled.hole / 2.0;
    let along = told.wall().map(|w| Length::inches(w.measure(told.bore.centre.xy()).0));
    told.ctx.job.provided.iter().any(|item| match item {
        Provided::Strap { member, at } if told.plies().any(|ply| ply.label == *member) => match (at, along) {
            (Some(at), Some(along)) => at_most((along - *at).abs(), reach),
            _ => true,
        },
        _ => false,
    })
}
