//! One plumb string: the side of the pipe it hangs on, and the line its gaps make.

use nalgebra::UnitVector2;

use super::LineFit;

/// The readings of one plumb string, fitted, with the direction they were taken in.
#[derive(Debug, Clone, PartialEq)]
pub struct PlumbLine {
    /// Level direction from the **barrel to the string**, in job axes. The gaps were read along it.
    pub barrel_to_string: UnitVector2<f64>,
    /// The line through the gaps, from [`fit`](super::fit).
    pub fit: LineFit,
}

impl PlumbLine {
    /// How far the pipe leans toward the string, inches sideways per inch of height. Below zero where it leans away.
    ///
    /// It has the standard error of the slope, [`LineFit::slope_error`].
    pub fn toward_string(&self) -> f64 {
        // A gap that shrinks upward leans toward the string.
        -self.fit.slope()
    }
}
