//! A finding as it leaves the program.

use super::fix::FixRow;
use super::xyz;
use serde::Serialize;
use truefall_check::{Finding, Limit, Source, Verdict};

/// What a measured value is held to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum LimitRow {
    /// One number; the sign of the margin says on which side of it is allowed.
    One(f64),
    /// From the least to the most.
    Range {
        /// The least.
        min: f64,
        /// The most.
        max: f64,
    },
}

/// Where a limit comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SourceRow {
    /// The code; none for a rule of our own.
    pub code: Option<String>,
    /// Its edition.
    pub edition: Option<String>,
    /// Section or table.
    pub section: Option<String>,
    /// How far the figure can be trusted.
    pub status: &'static str,
    /// Why we hold to it, for a rule of our own; what is worth knowing about it, for a code's.
    pub note: Option<String>,
    /// The local amendment that replaced the figure.
    pub amended: Option<String>,
    /// The whole as one line of text; the JSON has it in parts.
    #[serde(skip)]
    pub line: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingRow {
    /// The rule.
    pub rule: &'static str,
    /// The verdict in words.
    pub verdict: String,
    /// What it is about, as the user named it.
    pub labels: Vec<String>,
    /// The placement it was found in.
    pub placement: &'static str,
    /// The other placement has the very same.
    pub in_both: bool,
    /// Where.
    pub at: Option<[f64; 3]>,
    /// The value measured, in `unit`.
    pub measured: Option<f64>,
    /// What it is held to, in `unit`.
    pub limit: Option<LimitRow>,
    /// How far inside the limit; below zero it is over.
    pub margin: Option<f64>,
    /// The unit of the four numbers; empty where there is none.
    pub unit: &'static str,
    /// Standard error of `measured`.
    pub error: Option<f64>,
    /// The sum line by line.
    pub sum: Vec<String>,
    /// Where the limit comes from.
    pub source: SourceRow,
    /// What is wrong, in one line.
    pub what: String,
    /// What one can do about it.
    pub help: Option<String>,
    /// The local acceptance that covers it.
    pub accepted: Option<String>,
    /// What was tried on a copy of the job and mends it; left out where fixes were not asked for or none is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fix: Option<FixRow>,
    /// The verdict and limit themselves, for the text.
    #[serde(skip)]
    pub kind: (Verdict, Option<Limit>),
}

impl FindingRow {
    /// Lays out one finding.
    pub fn of(finding: &Finding) -> Self {
        Self {
            rule: finding.rule,
            verdict: finding.verdict.to_string(),
            labels: finding.labels.iter().map(ToString::to_string).collect(),
            placement: finding.placement.word(),
            in_both: finding.in_both,
            at: finding.at.map(xyz),
            measured: finding.measured,
            limit: finding.limit.map(|limit| match limit {
                Limit::AtLeast(one) | Limit::AtMost(one) => LimitRow::One(one),
                Limit::Between(min, max) => LimitRow::Range { min, max },
            }),
            margin: finding.margin,
            unit: finding.unit,
            error: finding.error,
            sum: finding.sum.clone(),
            source: SourceRow::of(&finding.source),
            what: finding.what.clone(),
            help: finding.help.clone(),
            accepted: finding.accepted.clone(),
            fix: finding.fix.as_ref().map(FixRow::of),
            kind: (finding.verdict, finding.limit),
        }
    }
}

impl SourceRow {
    /// Lays out one source.
    pub fn of(source: &Source) -> Self {
        let said = |text: &String| (!text.is_empty()).then(|| text.clone());
        let (code, edition, section, note) = match source {
            Source::Code { code, edition, section, note, .. } => {
                (Some(code.clone()), Some(edition.clone()), Some(section.clone()), said(note))
            }
            Source::House { reason, .. } => (None, None, None, said(reason)),
        };
        Self {
            code,
            edition,
            section,
            status: source.status().word(),
            note,
            amended: source.amended().map(ToString::to_string),
            line: source.to_string(),
        }
    }
}
