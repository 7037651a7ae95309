//! The report as JSON; every field is told in `docs/report.md`.

use crate::report::Report;

/// The report as indented JSON with a line feed at its end. The same job gives the same bytes.
///
/// # Errors
/// Only what `serde_json` itself reports; a report has no map keys and no bytes it could refuse.
pub fn json(report: &Report) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(report).map(|text| text + "\n")
}
