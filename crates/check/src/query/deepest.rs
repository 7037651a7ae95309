//! Keeps the direction in which two overlapping solids overlap least.

use nalgebra::Vector3;

/// The least overlap found so far. Any direction gives an overlap that is not less than the depth, so a direction too
/// many is harmless.
pub(super) struct Deepest<F> {
    overlap: F,
    pub(super) depth: f64,
    pub(super) direction: Vector3<f64>,
}

impl<F: Fn(&Vector3<f64>) -> f64> Deepest<F> {
    /// `overlap(n)`: how far the second solid must move along the unit vector `n` until they only touch.
    pub(super) fn new(overlap: F) -> Self {
        Self { overlap, depth: f64::INFINITY, direction: Vector3::z() }
    }

    pub(super) fn overlap(&self, n: &Vector3<f64>) -> f64 {
        (self.overlap)(n)
    }

    /// Tries a unit vector.
    pub(super) fn consider(&mut self, n: Vector3<f64>) {
        let depth = (self.overlap)(&n);
        if depth < self.depth {
            (self.depth, self.direction) = (depth, n);
        }
    }

    /// Tries a vector of any length both ways; one of no length has no direction and is passed over.
    pub(super) fn consider_both_ways(&mut self, v: &Vector3<f64>) {
        if let Some(n) = v.try_normalize(1e-12) {
            self.consider(n);
            self.consider(-n);
        }
    }
}
