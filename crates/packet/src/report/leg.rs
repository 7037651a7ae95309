//! Rows of legs: the straight lengths of stacks and branches.

use super::xyz;
use serde::Serialize;
use truefall_model::job::Placement;
use truefall_model::place::{Leg, Placed, RoughIn};

/// One straight length between two fittings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LegRow {
    /// The stack or branch.
    pub run: String,
    /// The piece's name; none where the two fittings sit in each other.
    pub label: Option<String>,
    /// The part towards the base.
    pub low: String,
    /// The part away from the base; none for a free end.
    pub high: Option<String>,
    /// Nominal size.
    pub size: String,
    /// What its piece is made of.
    pub material: Option<String>,
    /// Cut length of its piece.
    pub cut: Option<f64>,
    /// Rise away from the base over level length, in/ft; above zero it falls towards the base. None for a riser
    /// (steeper than 45 degrees).
    pub grade: Option<f64>,
    /// Standard error of `grade` that comes from the survey, in/ft; none in the drawn placement.
    pub error: Option<f64>,
    /// The grade aimed at, in/ft.
    pub target: Option<f64>,
    /// Level length, centre to centre.
    pub level: f64,
    /// Length along it, centre to centre.
    pub length: f64,
    /// Its end towards the base.
    pub from: [f64; 3],
    /// Its end away from the base.
    pub to: [f64; 3],
    /// The angle its joint is set to before it takes, degrees; above zero it raises the far end.
    pub set_deg: f64,
    /// The placement.
    pub placement: &'static str,
}

/// All legs in one placement.
pub fn rows(rough_in: &RoughIn, placed: &Placed) -> Vec<LegRow> {
    rough_in.legs.iter().map(|leg| row(rough_in, placed, leg)).collect()
}

fn row(rough_in: &RoughIn, placed: &Placed, leg: &Leg) -> LegRow {
    let (from, to) = rough_in.leg_ends(placed, leg.id);
    let name = |part| rough_in.part(part).label.to_string();
    let grade = rough_in.grade(placed, leg.id);
    let error = rough_in.grade_error(leg.id).to_per_foot();
    LegRow {
        run: rough_in.run(leg.run).label.to_string(),
        label: leg.piece.map(name),
        low: name(leg.low),
        high: leg.high.map(name),
        size: leg.size.to_string(),
        material: leg.piece.map(|p| rough_in.part(p).material.to_string()),
        cut: leg.piece.and_then(|p| rough_in.part(p).cut()).map(|c| c.to_inches()),
        grade: grade.map(|g| g.to_per_foot()),
        error: (grade.is_some() && placed.placement == Placement::Found && error > 0.0).then_some(error),
        target: leg.target.map(|g| g.to_per_foot()),
        level: (to - from).xy().norm(),
        length: (to - from).norm(),
        from: xyz(from),
        to: xyz(to),
        set_deg: rough_in.joint(leg.joint).set.to_degrees() + 0.0,
        placement: placed.placement.word(),
    }
}
