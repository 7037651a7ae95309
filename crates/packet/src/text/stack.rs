//! A stack as a table, from the base up; as drawn and as found apart where a tape can tell them apart.

use super::page::Page;
use super::style::Tone;
use super::table::{Cell, Side, Table};
use super::told;
use crate::report::Report;
use crate::report::stack::StackRow;

const HEAD: [(Side, &str); 8] = [
    (Side::Left, "fitting"),
    (Side::Left, "what it is"),
    (Side::Left, "floor"),
    (Side::Right, "off rough"),
    (Side::Right, "off finished"),
    (Side::Left, "points to"),
    (Side::Right, "cut below"),
    (Side::Right, "centres"),
];

/// One stack in all placements reported.
pub fn stack(page: &mut Page, report: &Report, name: &str) {
    let mut printed: Vec<(Vec<&str>, Table)> = Vec::new();
    for placement in &report.placements {
        let rows = report.stack.iter().filter(|r| r.stack == name && r.placement == *placement);
        let table = table(page, rows);
        match printed.iter_mut().find(|(_, other)| *other == table) {
            Some((placements, _)) => placements.push(placement),
            None => printed.push((vec![placement], table)),
        }
    }
    for (placements, table) in printed.iter().filter(|(_, table)| !table.is_empty()) {
        page.heading(&format!("Stack {name} from the base up, {}", told(placements)));
        page.table(table);
        page.line(
            2,
            Tone::Faint,
            "cut below: the piece below a fitting; centres: from its centre to the one below",
        );
    }
}

fn table<'r>(page: &Page, rows: impl Iterator<Item = &'r StackRow>) -> Table {
    let mut table = Table::new(HEAD);
    for row in rows {
        table.row([
            row.label.as_str().into(),
            row.fitting.as_str().into(),
            row.floor.as_deref().unwrap_or_default().into(),
            page.length_if(row.rough).into(),
            page.length_if(row.finished).into(),
            Cell::from(points_to(row)),
            page.length_if(row.cut).into(),
            page.length_if(row.centre).into(),
        ]);
    }
    table
}

fn points_to(row: &StackRow) -> String {
    match (&row.clock, &row.wall) {
        (Some(clock), Some(wall)) => format!("{clock} {wall}"),
        (Some(clock), None) => clock.clone(),
        (None, _) => String::new(),
    }
}
