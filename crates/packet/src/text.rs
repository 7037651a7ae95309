//! The report as text for people: what is where, what is wrong with it and on whose word.
//!
//! At most [`page::WIDTH`] columns where names allow it. Lengths as the trade writes them; the exact numbers are in the JSON.

mod bores;
mod branches;
pub mod buy;
pub(crate) mod cautions;
pub mod codes;
pub mod cuts;
mod findings;
mod fold;
pub mod holes;
mod landings;
mod lean;
pub mod lean_plan;
mod measure;
pub mod page;
mod passes;
mod stack;
pub mod style;
pub(crate) mod table;
mod test;
pub mod vents;

use crate::report::Report;
use page::{Look, Page};
use style::Tone;

/// The report as text, with a line feed at its end.
pub fn text(report: &Report, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(0, Tone::Heading, &report.job);
    page.line(0, Tone::Plain, &format!("held to {}, {}", report.code, told(&report.placements)));
    for lean in &report.lean {
        stack::stack(&mut page, report, &lean.stack);
        lean::lean(&mut page, lean);
    }
    branches::branches(&mut page, report);
    landings::landings(&mut page, report);
    bores::bores(&mut page, report);
    test::test(&mut page, report);
    findings::findings(&mut page, report);
    if let Some(told) = &report.passes {
        passes::passes(&mut page, told);
    }
    cautions::cautions(&mut page);
    page.into_text()
}

/// Placements in words: `as drawn and as found`.
fn told(placements: &[&str]) -> String {
    placements.iter().map(|p| format!("as {p}")).collect::<Vec<_>>().join(" and ")
}
