//! Rows of landings: where a run comes out against where its fixture needs it.

use super::xyz;
use serde::Serialize;
use truefall_model::job::Job;
use truefall_model::place::{Placed, RoughIn};

/// One landing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LandingRow {
    /// The fixture.
    pub fixture: String,
    /// The run that ends at it.
    pub run: String,
    /// The part that lands.
    pub part: String,
    /// Where it lands.
    pub at: [f64; 3],
    /// Where the fixture needs it.
    pub wants: [f64; 3],
    /// From one to the other.
    pub misfit: f64,
    /// How far off it may be.
    pub tolerance: f64,
    /// Some of the fixture's figures were left out of the job and taken from the catalog.
    pub assumed: bool,
    /// Which way it looks, out of the pipe; length 1.
    pub axis: [f64; 3],
    /// The trap's weir; none for a closet.
    pub weir: Option<[f64; 3]>,
    /// The placement.
    pub placement: &'static str,
}

/// All landings in one placement.
pub fn rows(job: &Job, rough_in: &RoughIn, placed: &Placed) -> Vec<LandingRow> {
    placed
        .landings
        .iter()
        .map(|landing| LandingRow {
            fixture: job.fixtures[landing.fixture].name.to_string(),
            run: rough_in.run(landing.run).label.to_string(),
            part: rough_in.part(landing.part).label.to_string(),
            at: xyz(landing.at),
            wants: xyz(landing.wants),
            misfit: landing.misfit().to_inches(),
            tolerance: landing.tolerance.to_inches(),
            assumed: landing.assumed,
            axis: xyz(landing.axis.into()),
            weir: landing.weir.map(xyz),
            placement: placed.placement.word(),
        })
        .collect()
}
