//! Rows of the water test: what is plugged, how high the water stands, what it weighs and how long it stays.

use super::finding::SourceRow;
use serde::Serialize;
use truefall_check::trial_test::{Plug, Trial};

/// The test of one stack and all that hangs on it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TestRow {
    /// The stack.
    pub stack: String,
    /// Where the water stands, over the rough surface of the datum floor.
    pub level: f64,
    /// Pipe set on for the test over the highest end of the job's own.
    pub riser: f64,
    /// The lowest joint.
    pub lowest: String,
    /// Water over the lowest joint.
    pub lowest_head: f64,
    /// Pressure there, pounds per square inch.
    pub psi: f64,
    /// Joints higher than this have less water over them than the code's head.
    pub full_head_below: f64,
    /// Whether none is that high.
    pub full_head_on_all: bool,
    /// Water it takes, US gallons.
    pub gallons: f64,
    /// What that weighs, pounds.
    pub pounds: f64,
    /// How long it stands without falling.
    pub minutes: f64,
    /// The head of water the code asks for.
    pub head: f64,
    /// Where the head stands.
    pub head_source: SourceRow,
    /// Where the time stands.
    pub minutes_source: SourceRow,
    /// Every opening, from the lowest up.
    pub openings: Vec<OpeningRow>,
    /// What can hurt someone or spoil the test.
    pub cautions: Vec<String>,
    /// The placement.
    pub placement: &'static str,
}

/// An opening and what is done with it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpeningRow {
    /// The fitting, fixture or base it is at.
    pub at: String,
    /// Nominal size of the pipe there.
    pub size: String,
    /// What is done.
    pub how: String,
    /// Its height over the rough surface of the datum floor.
    pub height: f64,
    /// Water over it.
    pub head: f64,
}

impl TestRow {
    /// Lays out one test.
    pub fn of(trial: &Trial) -> Self {
        Self {
            stack: trial.stack.to_string(),
            level: trial.level_z + 0.0,
            riser: trial.riser.to_inches() + 0.0,
            lowest: trial.lowest.0.to_string(),
            lowest_head: trial.lowest.1.to_inches(),
            psi: trial.pounds,
            full_head_below: trial.full_head_below_z + 0.0,
            full_head_on_all: trial.full_head_on_all,
            gallons: trial.gallons,
            pounds: trial.weight,
            minutes: trial.minutes,
            head: trial.head.0.to_inches(),
            head_source: SourceRow::of(&trial.head.1),
            minutes_source: SourceRow::of(&trial.hold),
            openings: trial.plugs.iter().map(opening).collect(),
            cautions: trial.cautions(),
            placement: trial.placement.word(),
        }
    }
}

fn opening(plug: &Plug) -> OpeningRow {
    OpeningRow {
        at: plug.at.to_string(),
        size: plug.size.to_string(),
        how: plug.how.to_string(),
        height: plug.z + 0.0,
        head: plug.head.to_inches() + 0.0,
    }
}
