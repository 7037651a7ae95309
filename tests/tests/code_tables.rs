//! The tables of three codes row by row: each profile has the published value, under the published section, and claims no
//! more for it than its source allows.
//!
//! `tests/data/code_tables.ron` holds the rows, each table with its code, edition, section, status and source.

use serde::Deserialize;
use std::collections::BTreeMap;
use truefall_check::{Profile, Source};

/// One table, or a part of one known by one source.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    /// Which of the tables it belongs to.
    of: String,
    /// Code and edition.
    code: String,
    /// The section, or the table's number.
    section: String,
    /// How far the source can be trusted.
    status: String,
    /// Who says so.
    source: String,
    /// The figure's key, and its value.
    rows: Vec<(String, f64)>,
}

fn tables() -> Vec<Table> {
    ron::from_str(include_str!("../data/code_tables.ron")).unwrap_or_else(|e| panic!("code_tables.ron: {e}"))
}

#[test]
fn every_row_stands_in_its_profile_as_published() {
    let mut wrong = Vec::new();
    for table in tables() {
        let profile = Profile::builtin(&table.code).expect("it comes with the tool");
        for (key, value) in &table.rows {
            let Some(figure) = profile.find(key) else {
                wrong.push(format!("{} has no {key}", table.code));
                continue;
            };
            let Source::Code { section, status, .. } = figure.source() else {
                wrong.push(format!("{} {key} is our own, published in {}", table.code, table.section));
                continue;
            };
            if figure.value != *value {
                wrong.push(format!(
                    "{} {key}: {}, published {value} ({})",
                    table.code, figure.value, table.source
                ));
            }
            if !section.starts_with(&table.section) {
                wrong.push(format!("{} {key}: {section}, published in {}", table.code, table.section));
            }
            if status.to_string().split(':').next() != Some(table.status.as_str()) {
                wrong.push(format!("{} {key}: {status}, known as {}", table.code, table.status));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn there_are_enough_rows_and_none_stands_twice() {
    let mut of: BTreeMap<String, usize> = BTreeMap::new();
    let mut seen = Vec::new();
    for table in tables() {
        assert!(table.source.len() > 4, "{} {} has no source", table.code, table.section);
        assert!(
            table.status != "memory" || table.source.contains("memory"),
            "{} {}",
            table.code,
            table.section
        );
        *of.entry(table.of.clone()).or_default() += table.rows.len();
        seen.extend(table.rows.iter().map(|(key, _)| (table.code.clone(), key.clone())));
    }
    let rows = seen.len();
    seen.sort();
    seen.dedup();
    assert_eq!(seen.len(), rows, "a row stands twice");
    assert!(rows >= 300, "{rows} rows");
    for (table, least) in [
        ("slope", 26),
        ("trap arm", 26),
        ("fixture units", 35),
        ("pipe size", 80),
        ("vent size", 18),
        ("standpipe", 8),
        ("support", 18),
        ("clearance", 13),
        ("direction of flow", 32),
        ("wet vent", 30),
        ("studs and joists", 20),
    ] {
        assert!(of.get(table).is_some_and(|n| *n >= least), "{table}: {:?} rows", of.get(table));
    }
}
