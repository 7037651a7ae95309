//! The plan of stack heights as rows: what text and JSON print of it.

pub mod rows;
pub mod text;
pub mod words;

pub use rows::HeightsReport;
pub use text::heights_text;

/// The rows as JSON.
///
/// # Errors
/// A number that JSON can't hold.
pub fn heights_json(report: &HeightsReport) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(report).map(|text| text + "\n")
}
