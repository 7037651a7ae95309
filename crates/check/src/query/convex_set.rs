//! What the pipe kernel must know of the solid on the other side.

use super::cap::Disc;
use nalgebra::{Vector2, Vector3};

/// A closed convex set in a frame whose origin lies inside it, inches.
pub(super) trait ConvexSet {
    /// The point of the set nearest to `x`; `x` itself where it is inside.
    fn nearest(&self, x: &Vector3<f64>) -> Vector3<f64>;

    /// The largest `n . w` over the points `w` of the set.
    fn extent(&self, n: &Vector3<f64>) -> f64;

    /// `t` in 0..=1 at which `p + t d` is nearest to the set. Where a stretch is equally near, any `t` of it.
    fn nearest_on_segment(&self, p: &Vector3<f64>, d: &Vector3<f64>) -> f64;

    /// A better guess, in disc coordinates, for the disc point nearest to the set, from the point `y` at `x` whose
    /// nearest point is `w`. It need only point the right way: the caller searches the stretch from `y` to it.
    fn disc_step(&self, disc: &Disc, y: &Vector2<f64>, x: &Vector3<f64>, w: &Vector3<f64>) -> Vector2<f64> {
        let _ = (y, x);
        disc.project(w)
    }
}
