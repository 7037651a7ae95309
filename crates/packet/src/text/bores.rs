//! Holes and notches: member, hole, where, wood left, for what, and whether a rule has something against it.

use super::page::Page;
use super::style::Tone;
use super::table::{Cell, Side, Table};
use super::told;
use crate::report::Report;
use crate::report::bore::BoreRow;
use crate::report::finding::FindingRow;
use truefall_check::Verdict;

const HEAD: [(Side, &str); 7] = [
    (Side::Left, "member"),
    (Side::Right, "hole"),
    (Side::Left, "centre"),
    (Side::Right, "wood left"),
    (Side::Left, "for"),
    (Side::Left, "as"),
    (Side::Left, "verdict"),
];

/// All bores.
pub fn bores(page: &mut Page, report: &Report) {
    let mut table = Table::new(HEAD);
    let mut told_once: Vec<usize> = Vec::new();
    for i in by_member(&report.bores) {
        if told_once.contains(&i) {
            continue;
        }
        let bore = &report.bores[i];
        // The same hole in the other placement, as far as a tape can tell, is told in the same line.
        let twin = (i + 1..report.bores.len()).find(|j| same_on_a_tape(page, bore, &report.bores[*j]));
        told_once.extend(twin);
        let mut placements = vec![bore.placement];
        placements.extend(twin.map(|j| report.bores[j].placement));
        // What is found alike in both placements stands under the first of them only.
        let alike =
            |b: &&BoreRow| b.member == bore.member && b.parts == bore.parts && same_cut(page, b, bore);
        let about: Vec<&str> = report.bores.iter().filter(alike).map(|b| b.placement).collect();
        let (verdict, tone) = verdict(report, bore, &about);
        table.row([
            bore.member.as_str().into(),
            Cell::from(page.length(bore.hole)),
            Cell::from(centre(page, bore)),
            left(page, bore).into(),
            Cell::from(format!("{} {}", bore.through, bore.body)),
            placements.join(", ").into(),
            Cell::toned(tone, verdict),
        ]);
    }
    if !table.is_empty() {
        page.heading(&format!("Holes and notches in wood, {}", told(&report.placements)));
        page.table(&table);
        let note = "wood left: on the two sides across the depth, a joist's bottom or a stud's back first";
        page.line(2, Tone::Faint, note);
    }
}

/// The bores with those of one member together, members in the order they first come.
fn by_member(bores: &[BoreRow]) -> Vec<usize> {
    let first = |i: usize| bores.iter().position(|b| b.member == bores[i].member);
    let mut order: Vec<usize> = (0..bores.len()).collect();
    order.sort_by_key(|i| first(*i));
    order
}

fn same_on_a_tape(page: &Page, a: &BoreRow, b: &BoreRow) -> bool {
    a.placement != b.placement
        && a.member == b.member
        && a.parts == b.parts
        && centre(page, a) == centre(page, b)
        && same_cut(page, a, b)
}

fn same_cut(page: &Page, a: &BoreRow, b: &BoreRow) -> bool {
    page.length(a.hole) == page.length(b.hole) && left(page, a) == left(page, b)
}

/// Where to set the bit: up a stud, else along the member.
fn centre(page: &Page, bore: &BoreRow) -> String {
    let along = page.length(bore.along);
    match bore.kind {
        "stud" | "king" | "jack" | "cripple" | "post" => format!("{along} up"),
        _ => format!("{along} along"),
    }
}

fn left(page: &Page, bore: &BoreRow) -> String {
    let [low, high] = bore.edges;
    if bore.severed {
        "none".to_owned()
    } else if let Some(notch) = &bore.notch {
        format!("notch {} deep", page.length(notch.depth))
    } else {
        format!("{} + {}", page.length(low), page.length(high))
    }
}

/// The gravest finding about this member and this part, in these placements.
fn verdict(report: &Report, bore: &BoreRow, placements: &[&str]) -> (String, Tone) {
    let about = |f: &&FindingRow| {
        placements.contains(&f.placement)
            && f.labels.contains(&bore.member)
            && bore.parts.iter().any(|part| f.labels.contains(part))
    };
    let mut found: Vec<&FindingRow> = report.findings.iter().filter(about).collect();
    found.sort_by_key(|f| f.kind.0);
    let Some(first) = found.first() else { return (String::new(), Tone::Plain) };
    let text = found.iter().map(|f| format!("{} {}", f.verdict, f.rule)).collect::<Vec<_>>().join(", ");
    (text, tone(first.kind.0))
}

/// The tone of a verdict.
pub fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::RedTag => Tone::RedTag,
        Verdict::Ask => Tone::Ask,
        Verdict::Watch => Tone::Watch,
        Verdict::NotChecked | Verdict::Pass => Tone::Faint,
    }
}
