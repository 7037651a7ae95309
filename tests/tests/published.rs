//! Published and common-practice values, read back from the JSON report of jobs that were placed and checked.
//!
//! `tests/data/published.ron` holds the values with their sources, `tests/jobs/*.ron` the jobs; words in capitals after a
//! `$` in a job are filled in by the row. Nothing is computed here but the difference of two numbers of the report.

use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;

/// One value and where to read it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    /// What the value is, in words.
    what: String,
    /// The published value; none where the row says that nothing is found.
    value: Option<f64>,
    /// How far the program may be off it; less than nothing may not be.
    #[serde(default)]
    within: Option<f64>,
    /// Why it may be off by more than arithmetic.
    #[serde(default)]
    because: String,
    /// Who says so.
    source: String,
    /// How far that can be trusted.
    status: Status,
    /// Nothing but the sides of a triangle.
    #[serde(default)]
    trigonometry: bool,
    /// The job, a file of `tests/jobs`.
    job: String,
    /// Words filled into the job.
    #[serde(default)]
    fill: BTreeMap<String, String>,
    /// The number to read.
    read: Pick,
    /// A number taken from it.
    #[serde(default)]
    minus: Option<Pick>,
}

#[derive(Debug, Deserialize, PartialEq, Clone, Copy)]
#[serde(rename_all = "snake_case")]
enum Status {
    /// Seen in print.
    Confirmed,
    /// Seen one step from print.
    Secondary,
    /// A trade fact.
    CommonPractice,
    /// Arithmetic from confirmed or remembered figures that the row names.
    Derived,
    /// From memory.
    Memory,
}

/// One number of the report.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pick {
    /// The list of the report.
    of: String,
    /// What the entry holds; of a list one is enough.
    #[serde(default)]
    with: BTreeMap<String, String>,
    /// The field; a number after a dot is a place in a list.
    field: String,
}

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn rows() -> Vec<Row> {
    let text = std::fs::read_to_string(folder("data").join("published.ron")).expect("the values can be read");
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(&text).unwrap_or_else(|e| panic!("data/published.ron: {e}"))
}

/// The report of a job, by the whole way that `truefall check --format json` takes.
fn report(job: &str, fill: &BTreeMap<String, String>) -> Result<Value, String> {
    let mut text = std::fs::read_to_string(folder("jobs").join(job)).map_err(|e| format!("{job}: {e}"))?;
    for (word, with) in fill {
        let word = format!("${word}");
        if !text.contains(&word) {
            return Err(format!("{job} has no {word}"));
        }
        text = text.replace(&word, with);
    }
    let file = JobFile::read(job, &text).map_err(|e| e.to_string())?;
    let placements = [Placement::Drawn, Placement::Found];
    let examined = truefall_packet::examine(&file.job, Catalog::builtin(), &placements)
        .map_err(|faults| file.faults(&faults).to_string())?;
    let json = truefall_packet::json(&examined.report).map_err(|e| e.to_string())?;
    serde_json::from_str(&json).map_err(|e| e.to_string())
}

impl Pick {
    /// The entries it means.
    fn entries<'r>(&self, report: &'r Value) -> Vec<&'r Value> {
        let says = |entry: &Value, field: &str, word: &str| match entry[field].as_array() {
            Some(list) => list.iter().any(|v| v == word),
            None => entry[field] == *word,
        };
        let list =
            report[&self.of].as_array().unwrap_or_else(|| panic!("the report has no list {}", self.of));
        list.iter().filter(|e| self.with.iter().all(|(field, word)| says(e, field, word))).collect()
    }

    fn number(&self, report: &Value) -> Result<f64, String> {
        let entries = self.entries(report);
        let [entry] = entries[..] else { return Err(format!("{} entries fit {self:?}", entries.len())) };
        let value = match self.field.split_once('.') {
            Some((field, place)) => &entry[field][place.parse::<usize>().map_err(|e| e.to_string())?],
            None => &entry[&self.field],
        };
        value.as_f64().ok_or_else(|| format!("{} is {value} in {entry}", self.field))
    }
}

impl Row {
    fn held(&self) -> Result<(), String> {
        let report = report(&self.job, &self.fill)?;
        let Some(value) = self.value else {
            let found = self.read.entries(&report);
            return if found.is_empty() { Ok(()) } else { Err(format!("found {found:?}")) };
        };
        let taken = self.minus.as_ref().map_or(Ok(0.0), |m| m.number(&report))?;
        let read = self.read.number(&report)? - taken;
        let within = self.within.unwrap_or(1e-9);
        if (read - value).abs() <= within { Ok(()) } else { Err(format!("read {read}, published {value}")) }
    }
}

#[test]
fn the_report_gives_the_published_values() {
    let wrong: Vec<String> = rows()
        .iter()
        .filter_map(|row| row.held().err().map(|e| format!("{}\n    {}: {e}", row.what, row.source)))
        .collect();
    assert!(wrong.is_empty(), "{} of {} are off:\n{}", wrong.len(), rows().len(), wrong.join("\n"));
}

/// A row that says "nothing is found" holds on an empty report too; each stands beside one where the same is found.
#[test]
fn what_is_not_found_is_found_in_another_row() {
    let rows = rows();
    for row in rows.iter().filter(|r| r.value.is_none()) {
        let rule = row.read.with.get("rule").unwrap_or_else(|| panic!("{}: name the rule", row.what));
        let other = |r: &&Row| r.value.is_some() && r.job == row.job && r.read.with.get("rule") == Some(rule);
        assert!(rows.iter().any(|r| other(&r)), "{}: no row of {} finds {rule}", row.what, row.job);
    }
}

#[test]
fn there_are_enough_values_and_each_has_its_source() {
    let rows = rows();
    let plain = rows.iter().filter(|r| r.trigonometry).count();
    assert!(rows.len() >= 40, "{} values", rows.len());
    assert!(plain <= 10, "{plain} are mere trigonometry");
    for row in &rows {
        assert!(!row.source.is_empty(), "{} has no source", row.what);
        assert!(row.within.is_none_or(|w| w < 1e-9) || !row.because.is_empty(), "{}: why off?", row.what);
        if row.status == Status::Derived {
            assert!(row.source.contains("from"), "{}: derived from what?", row.what);
        }
    }
    let mut what: Vec<&String> = rows.iter().map(|r| &r.what).collect();
    what.sort();
    what.dedup();
    assert_eq!(what.len(), rows.len(), "a value stands twice");
}
