//! A top plate cut by more than half its width without a tie.

use crate::bore::telling::{Told, decimal, over, percent};
use crate::ctx::Ctx;
use crate::cure::{Cure, provide, sixteenths};
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
        let (width, most) = (told.member.depth(), told.member.depth() * figure.value);
        let limit = Limit::AtMost(most.to_inches());
        let margin = limit.margin(told.bore.cut.taken().to_inches());
        // A tie that is provided is a pass without a margin: how far it is from failing can't be told.
        if !told.bears() || (!limit.allows(told.bore.cut.taken().to_inches()) && is_tied(&told)) {
            continue;
        }
        let Some(verdict) = ctx.verdict(margin, 0.0) else { continue };
        let lacks = if verdict == Verdict::Pass { "" } else { " and none is provided" };
        let what = format!(
            "hole for {} of {} takes {} % of {}, over {} % needs a tie{lacks}",
            told.passes(),
            told.run(),
            (told.bore.cut.taken() / width * 100.0).round(),
            told.member.label,
            percent(figure.value)
        );
        let read = |key: &str| ctx.profile.figure(key).value;
        out.push(
            told.finding(RULE.id, verdict, what, figure.source())
                .measured(told.bore.cut.taken().to_inches(), limit, "in")
            .lines(told.bearing_lines())
            .line(format!("{} % of its width {}", percent(figure.value), decimal(most)))
            .line(over(told.bore.cut.taken() - most))
            .help(format!(
                "nail a galvanised tie at least {} thick and {} wide across it, {} past the opening with {} nails each side",
                read("plate-strap-thick"),
                Length::inches(read("plate-strap-wide")),
                Length::inches(read("plate-strap-past")),
                read("plate-strap-nails")
            ))
            .cure([tie(&told)]),
        );
    }
}

/// Whether a tie is provided across a cut that calls for one; none where it calls for none.
pub fn tie_at(told: &Told<'_>) -> Option<bool> {
    if told.member.kind != MemberKind::TopPlate || !told.bears() {
        return None;
    }
    let most = told.member.depth() * told.ctx.profile.figure("plate-cut").value;
    let within = Limit::AtMost(most.to_inches()).allows(told.bore.cut.taken().to_inches());
    (!within).then(|| is_tied(told))
}

/// A tie over the cut.
fn tie(told: &Told<'_>) -> Cure {
    let member = &told.member.label;
    let at = told.wall().map(|w| sixteenths(w.measure(told.bore.centre.xy()).0));
    let place = at.map_or_else(String::new, |at| format!(", {at} along its wall"));
    let words = format!("nail a galvanised tie across {member} over the hole for {}{place}", told.run());
    provide(told.ctx, words, [Provided::Strap { member: member.clone(), at }])
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
