//! Too many doubled studs in a row bored beyond what a single one allows.

use super::stud_bore_too_large::fits;
use crate::bore::Shape;
use crate::bore::telling::{Told, decimal, is_stud, percent};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use std::collections::BTreeMap;
use truefall_model::framing::member::MemberId;
use truefall_model::tolerance::at_most;

rule! {
    /// # What it checks
    /// In an outside or bearing wall, how many doubled studs that stand next to each other are bored by more than a single
    /// stud allows.
    ///
    /// # Why
    /// A doubled stud bored so far is weaker than a single one that is whole; a row of them is a weak wall.
    ///
    /// # Source
    /// IRC R602.6: no more than two in succession.
    ///
    /// # Limits
    /// Kings, jacks and cripples stand in the row like studs. Holes at different heights count alike. Told once a row, at
    /// its first stud over the number.
    ///
    /// # Example
    /// A 2 in drain through three doubled 2x6 bearing studs in a row: its hole of 2-9/16 in is over 40 percent in all three.
    "stud-doubles-bored-in-a-row", Wood, Code,
    "too many doubled studs in a row are bored beyond what a single one allows",
    figures: ["stud-bore-doubled-in-a-row", "stud-bore"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("stud-bore-doubled-in-a-row");
    let single = ctx.profile.figure("stud-bore.bearing").value;
    let mut bored: BTreeMap<MemberId, Told<'_>> = BTreeMap::new();
    for told in Told::each(ctx, is_stud) {
        let over = !at_most(told.bore.cut.width, told.member.depth() * single);
        if told.bears() && told.is_doubled() && over && told.bore.cut.shape == Shape::Hole && fits(&told) {
            bored.entry(told.bore.lead).or_insert(told);
        }
    }
    for told in bored.values() {
        let row = ctx.facts.plies.row_around(told.bore.lead, |m| bored.contains_key(&m));
        let limit = Limit::AtMost(figure.value);
        let place = row.iter().position(|m| *m == told.bore.lead);
        let Some(verdict) = ctx.verdict(limit.margin(row.len() as f64), 0.0) else { continue };
        // Told once a row: at the first that is one too many, of a row that passes at its last.
        let told_at = (figure.value.max(0.0) as usize).min(row.len() - 1);
        if place != Some(told_at) {
            continue;
        }
        let labels = row.iter().filter_map(|m| ctx.rough_in.framed.member_of(*m)).map(|m| &m.label);
        let names: Vec<String> = labels.clone().map(ToString::to_string).collect();
        let what = format!(
            "{} doubled studs in a row are bored over {} % of their depth, at most {} may be",
            row.len(),
            percent(single),
            figure.value
        );
        let mut finding = told
            .finding(RULE.id, verdict, what, figure.source())
            .measured(row.len() as f64, limit, "count")
            .line(format!("{} % of the depth {}", percent(single), decimal(told.member.depth() * single)))
            .line(format!("bored over that, one beside the other: {}", names.join(", ")));
        for label in labels {
            if !finding.labels.contains(label) {
                finding.labels.push(label.clone());
            }
        }
        out.push(finding.help("take the drain another way past one of them, or ask for a listed stud shoe"));
    }
}
