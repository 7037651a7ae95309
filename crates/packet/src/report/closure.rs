//! Rows of closures: what is left at each tie of two runs.

use super::xyz;
use serde::Serialize;
use truefall_model::place::{Placed, RoughIn};

/// What is left between a closing piece and the port it should meet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClosureRow {
    /// The run that is tied.
    pub run: String,
    /// The closing piece.
    pub part: String,
    /// The port it should meet, such as `V2.branch`.
    pub to: String,
    /// From the piece's end to the port's stop.
    pub gap: f64,
    /// Between the piece's line and the port's, degrees.
    pub angle: f64,
    /// The piece's end.
    pub at: [f64; 3],
    /// The placement.
    pub placement: &'static str,
}

/// All closures in one placement.
pub fn rows(rough_in: &RoughIn, placed: &Placed) -> Vec<ClosureRow> {
    placed
        .closures
        .iter()
        .map(|closure| ClosureRow {
            run: rough_in.run(closure.run).label.to_string(),
            part: rough_in.part(closure.part).label.to_string(),
            to: closure.to.to_string(),
            gap: closure.gap.to_inches(),
            angle: closure.angle.to_degrees(),
            at: xyz(closure.at),
            placement: placed.placement.word(),
        })
        .collect()
}
