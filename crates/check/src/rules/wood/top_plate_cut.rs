//! A top plate cut by more than half its width without a tie.

use crate::bore::telling::{Told, decimal, percent};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::framing::member::MemberKind;
use truefall_model::framing::provided::Provided;
use truefall_model::tolerance::{at_most, order};
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
    let over = |told: &Told<'_>| !at_most(told.bore.cut.taken(), told.member.depth() * figure.value);
    let cut: Vec<Told<'_>> = Told::each(ctx, |m| m.kind == MemberKind::TopPlate)
        .into_iter()
        .filter(|told| told.bears() && over(told))
        .collect();
    let mut passages: Vec<Vec<Told<'_>>> = Vec::new();
    for told in cut {
        let same = |group: &Vec<Told<'_>>| group.iter().any(|other| one_passage(other, &told));
        match passages.iter_mut().find(|group| same(group)) {
            Some(group) => group.push(told),
            None => passages.push(vec![told]),
        }
    }
    for group in passages {
        if group.iter().any(|told| is_tied(told)) {
            continue;
        }
        let taken = |told: &Told<'_>| told.bore.cut.taken().to_inches();
        let Some(told) =
            group.iter().max_by(|a, b| order(taken(a), taken(b)).then(b.member.id.cmp(&a.member.id)))
        else {
            continue;
        };
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
        let mut finding = told
            .finding(RULE.id, Verdict::RedTag, what, figure.source())
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
            ));
        for other in group.iter().filter(|o| o.member.id != told.member.id) {
            finding.labels.push(other.member.label.clone());
        }
        out.push(finding);
    }
}

/// The cuts of one pipe through the plates of one wall.
fn one_passage(one: &Told<'_>, other: &Told<'_>) -> bool {
    let near = (one.bore.centre - other.bore.centre).xy().norm() <= one.bore.drilled.hole.to_inches();
    one.member.wall == other.member.wall
        && (near || one.bore.parts.iter().any(|p| other.bore.parts.contains(p)))
}

/// Whether a tie on this plate is at the cut.
fn is_tied(told: &Told<'_>) -> bool {
    let reach = told.bore.drilled.hole / 2.0;
    let along = told.wall().map(|w| Length::inches(w.measure(told.bore.centre.xy()).0));
    told.ctx.job.provided.iter().any(|item| match item {
        Provided::Strap { member, at } if *member == told.member.label => match (at, along) {
            (Some(at), Some(along)) => at_most((along - *at).abs(), reach),
            _ => true,
        },
        _ => false,
    })
}
