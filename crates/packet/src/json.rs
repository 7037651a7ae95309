//! The report as JSON; every field is told in `docs/report.md`.

pub mod buy;
pub mod cuts;
pub mod holes;

use crate::report::Report;

/// The report as indented JSON with a line feed at its end. The same job gives the same bytes.
///
/// # Errors
/// Only what `serde_json` itself reports; a report has no map keys and no bytes it could refuse.
pub fn json(report: &Report) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(report).map(|text| text + "\n")
}

/// Version of the layout of the sheets.
pub(crate) const SCHEMA: u32 = crate::report::SCHEMA;

/// A sheet as indented JSON with a line feed at its end. The same sheet gives the same bytes.
///
/// # Errors
/// Only what `serde_json` itself reports.
pub fn sheet(value: &serde_json::Value) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(value).map(|text| text + "\n")
}
