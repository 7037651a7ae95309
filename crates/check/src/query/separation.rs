//! The signed distance between two solids, with the points that show it.

use nalgebra::Point3;

/// How far two solids are apart, or how deep one is in the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Separation {
    /// Inches. Positive: the gap. Negative: minus the penetration depth, the shortest straight move of either solid
    /// that leaves them just touching. Zero: touching.
    pub distance_in: f64,
    /// Point of the first solid (of a box and a pipe: the box), job axes, inches.
    pub on_first: Point3<f64>,
    /// Point of the second solid (of a box and a pipe: the pipe). With a gap the two are the nearest points. In a
    /// clash, moving the second solid by `on_first - on_second` leaves them touching there.
    pub on_second: Point3<f64>,
}

impl Separation {
    /// The same, with first and second exchanged.
    pub fn swapped(self) -> Self {
        Self { distance_in: self.distance_in, on_first: self.on_second, on_second: self.on_first }
    }
}
