//! The report: the facts of a checked job laid out once, for the text and for the JSON alike.
//!
//! Lengths are unrounded inches, points are job axes (z = 0 on the rough surface of the datum floor, +y up on the plan).
//! The order is that of the job: placement by placement, run by run, from the base outwards.

pub mod bore;
pub mod closure;
pub mod counts;
pub mod finding;
pub mod fix;
pub mod landing;
pub mod lean;
pub mod leg;
pub mod stack;
pub mod test;

use bore::BoreRow;
use closure::ClosureRow;
use counts::Counts;
use finding::FindingRow;
use landing::LandingRow;
use lean::LeanRow;
use leg::LegRow;
use nalgebra::Point3;
use serde::Serialize;
use stack::StackRow;
use test::TestRow;
use truefall_check::Finding;
use truefall_check::bore::Bore;
use truefall_check::trial_test::Trial;
use truefall_model::job::{Job, Placement};
use truefall_model::place::RoughIn;

/// Version of the layout; it changes when a field changes its meaning or goes.
pub const SCHEMA: u32 = 1;

/// What a report is made of.
#[derive(Debug, Clone, Copy)]
pub struct Checked<'a> {
    /// The job as the user wrote it.
    pub job: &'a Job,
    /// The job placed.
    pub rough_in: &'a RoughIn,
    /// Holes and notches, of every placement reported.
    pub bores: &'a [Bore],
    /// The water tests, of every placement reported.
    pub trials: &'a [Trial],
    /// What the rules told.
    pub findings: &'a [Finding],
    /// What passes, where that was asked for.
    pub passes: Option<&'a [Finding]>,
    /// The placements reported, in the order they are told.
    pub placements: &'a [Placement],
}

/// The report of one job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// Always [`SCHEMA`].
    pub schema: u32,
    /// What the job is called.
    pub job: String,
    /// The code profile it was held to.
    pub code: String,
    /// The placements reported.
    pub placements: Vec<&'static str>,
    /// Every fitting of every stack, from the base up.
    pub stack: Vec<StackRow>,
    /// Every straight length, of stacks and branches.
    pub legs: Vec<LegRow>,
    /// The lean of every stack.
    pub lean: Vec<LeanRow>,
    /// Where runs come out against where their fixtures need them.
    pub landings: Vec<LandingRow>,
    /// What is left at each tie.
    pub closures: Vec<ClosureRow>,
    /// Holes and notches in wood.
    pub bores: Vec<BoreRow>,
    /// The water test of every stack.
    pub tests: Vec<TestRow>,
    /// What the rules told, gravest first.
    pub findings: Vec<FindingRow>,
    /// How many findings of each verdict.
    pub counts: Counts,
    /// What passes and how far it is from failing; left out where it was not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passes: Option<Vec<FindingRow>>,
}

impl Report {
    /// Lays out the facts of a checked job.
    pub fn of(facts: &Checked<'_>) -> Self {
        let each = |placement: &Placement| facts.rough_in.placed(*placement);
        let findings: Vec<FindingRow> = facts.findings.iter().map(FindingRow::of).collect();
        Self {
            schema: SCHEMA,
            job: facts.job.name.clone(),
            code: facts.job.code.to_string(),
            placements: facts.placements.iter().map(|p| p.word()).collect(),
            stack: facts.placements.iter().flat_map(|p| stack::rows(facts.rough_in, each(p))).collect(),
            legs: facts.placements.iter().flat_map(|p| leg::rows(facts.rough_in, each(p))).collect(),
            lean: lean::rows(facts.job, facts.rough_in),
            landings: facts
                .placements
                .iter()
                .flat_map(|p| landing::rows(facts.job, facts.rough_in, each(p)))
                .collect(),
            closures: facts.placements.iter().flat_map(|p| closure::rows(facts.rough_in, each(p))).collect(),
            bores: facts.bores.iter().filter_map(|b| bore::row(facts.rough_in, b)).collect(),
            tests: facts.trials.iter().map(TestRow::of).collect(),
            counts: Counts::of(facts.findings),
            passes: facts.passes.map(|passes| passes.iter().map(FindingRow::of).collect()),
            findings,
        }
    }
}

/// A point as it is written: x, y and z in inches; minus zero is zero.
pub(crate) fn xyz(point: Point3<f64>) -> [f64; 3] {
    [point.x + 0.0, point.y + 0.0, point.z + 0.0]
}
