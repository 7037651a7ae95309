//! Where each run comes out against where its fixture needs it.

use super::page::Page;
use super::style::Tone;
use super::table::{Cell, Side, Table};
use crate::report::Report;
use crate::report::landing::LandingRow;
use truefall_model::tolerance::SLACK;

const HEAD: [(Side, &str); 7] = [
    (Side::Left, "fixture"),
    (Side::Left, "run"),
    (Side::Left, "as"),
    (Side::Right, "off by"),
    (Side::Right, "allowed"),
    (Side::Left, "off to +x, +y, up"),
    (Side::Left, ""),
];

/// All landings.
pub fn landings(page: &mut Page, report: &Report) {
    let mut table = Table::new(HEAD);
    let mut fixtures: Vec<&str> = Vec::new();
    for l in &report.landings {
        if !fixtures.contains(&l.fixture.as_str()) {
            fixtures.push(&l.fixture);
        }
    }
    for fixture in fixtures {
        for l in report.landings.iter().filter(|l| l.fixture == fixture) {
            row(page, &mut table, l);
        }
    }
    if table.is_empty() {
        return;
    }
    page.heading("At the fixtures");
    page.table(&table);
    if report.landings.iter().any(|l| l.assumed) {
        page.line(
            2,
            Tone::Faint,
            "assumed: figures the job leaves out are the usual ones; measure the fixture you have",
        );
    }
}

fn row(page: &Page, table: &mut Table, l: &LandingRow) {
    let off: Vec<String> = l.at.iter().zip(l.wants).map(|(at, wants)| page.length(at - wants)).collect();
    let over = l.misfit > l.tolerance + SLACK;
    let mut notes: Vec<&str> = Vec::new();
    notes.extend(over.then_some("too far off"));
    notes.extend(l.assumed.then_some("assumed"));
    table.row([
        l.fixture.as_str().into(),
        l.run.as_str().into(),
        l.placement.into(),
        page.length(l.misfit).into(),
        page.length(l.tolerance).into(),
        off.join(", ").into(),
        Cell::toned(if over { Tone::RedTag } else { Tone::Faint }, notes.join(", ")),
    ]);
}
