//! The order to drill: the two ends of a straight length first, a string through them, and what lies between by the string;
//! up a riser each hole by its own figure.

use nalgebra::Vector3;
use truefall_check::bore::Bore;
use truefall_model::label::Label;
use truefall_model::place::{LegId, Placed, RoughIn};
use truefall_model::units::Length;

/// When a hole is drilled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The only hole of its length.
    Alone,
    /// At one end: measured and drilled before the rest.
    End,
    /// Between two ends: marked by the string through them, held to the figure, then drilled.
    Middle,
    /// Up a riser: no string is drawn there; each is marked at its own figure and all are sighted through before any is bored.
    Riser,
}

/// Where a hole lies on its length's fall.
#[derive(Debug, Clone, PartialEq)]
pub struct Drop {
    /// The member of the highest hole of that length, from which all are counted.
    pub from: Label,
    /// Level distance from there.
    pub level: Length,
    /// How much lower than that hole, exactly; each is rounded by itself, never the step.
    pub down: Length,
}

/// The leg whose pipe a bore lets through, and where along it, from its end towards the base.
pub fn along_leg(rough_in: &RoughIn, placed: &Placed, bore: &Bore) -> Option<(LegId, f64)> {
    let of = |leg: &&truefall_model::place::Leg| match leg.piece {
        Some(piece) => bore.parts.contains(&piece),
        None => false,
    };
    let ends = |leg: &&truefall_model::place::Leg| {
        bore.parts.contains(&leg.low) || leg.high.is_some_and(|high| bore.parts.contains(&high))
    };
    let leg = rough_in.legs.iter().find(of).or_else(|| rough_in.legs.iter().find(ends))?;
    let (low, _) = rough_in.leg_ends(placed, leg.id);
    let axis: Vector3<f64> = rough_in.leg_axis(placed, leg.id);
    Some((leg.id, (bore.centre - low).dot(&axis)))
}
