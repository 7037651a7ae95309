//! Branches, leg by leg: cut, level length and grade, drawn and found beside each other.

use super::page::Page;
use super::style::Tone;
use super::table::{Cell, Side, Table};
use super::told;
use crate::report::Report;
use crate::report::leg::LegRow;
use truefall_model::units::Grade;

const HEAD: [(Side, &str); 7] = [
    (Side::Left, "leg"),
    (Side::Left, "size"),
    (Side::Right, "cut"),
    (Side::Right, "centre to centre"),
    (Side::Right, "level"),
    (Side::Left, "wanted"),
    (Side::Left, "falls, in per ft"),
];

/// Every run that is not a stack.
pub fn branches(page: &mut Page, report: &Report) {
    let Some(first) = report.placements.first() else { return };
    let mut runs: Vec<&str> = Vec::new();
    for leg in &report.legs {
        let is_stack = report.lean.iter().any(|l| l.stack == leg.run);
        if !is_stack && !runs.contains(&leg.run.as_str()) {
            runs.push(&leg.run);
        }
    }
    for run in runs {
        let mut table = Table::new(HEAD);
        for leg in report.legs.iter().filter(|l| l.run == run && l.placement == *first) {
            // The same leg in the other placement; its ends name it.
            let also = report.legs.iter().find(|l| {
                l.placement != *first
                    && l.run == leg.run
                    && l.low == leg.low
                    && l.high == leg.high
                    && l.label == leg.label
            });
            row(page, &mut table, leg, also);
        }
        page.heading(&format!("Branch {run} outwards"));
        page.table(&table);
        closures(page, report, run);
    }
}

fn row(page: &Page, table: &mut Table, leg: &LegRow, also: Option<&LegRow>) {
    let high = leg.high.as_deref().unwrap_or("its end");
    table.row([
        Cell::from(format!("{} to {high}", leg.low)),
        leg.size.as_str().into(),
        page.length_if(leg.cut).into(),
        page.length(leg.length).into(),
        if leg.grade.is_some() { page.length(leg.level).into() } else { "".into() },
        leg.target.map_or_else(String::new, number).into(),
        falls(leg, also).into(),
    ]);
}

/// `1/4 -> 0.177 ± 0.012`, drawn and found.
fn falls(leg: &LegRow, also: Option<&LegRow>) -> String {
    let one = |leg: &LegRow| {
        let grade = leg.grade.map_or_else(|| "riser".to_owned(), number);
        leg.error.map_or_else(|| grade.clone(), |error| format!("{grade} ± {error:.3}"))
    };
    match also {
        Some(also) if one(also) != one(leg) => {
            format!("{} {} -> {} {}", one(leg), leg.placement, one(also), also.placement)
        }
        _ => one(leg),
    }
}

/// The number of a grade without its unit, which the head of the column says.
fn number(per_foot: f64) -> String {
    let text = Grade::per_foot(per_foot).to_string();
    text.strip_suffix(" in per ft").unwrap_or(&text).to_owned()
}

/// What is left at the run's tie; told once where both placements leave the same.
fn closures(page: &mut Page, report: &Report, run: &str) {
    let mut lines: Vec<(String, Vec<&str>)> = Vec::new();
    for c in report.closures.iter().filter(|c| c.run == run) {
        let (gap, angle) = (page.measure(c.gap, "in"), c.angle);
        let text = format!("{} closes on {}: gap {gap}, out of line {angle:.2}°", c.part, c.to);
        match lines.iter_mut().find(|(line, _)| *line == text) {
            Some((_, placements)) => placements.push(c.placement),
            None => lines.push((text, vec![c.placement])),
        }
    }
    for (text, placements) in lines {
        page.line(2, Tone::Plain, &format!("{text}, {}", told(&placements)));
    }
}
