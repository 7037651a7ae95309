//! The flat end of a pipe, a disc, against a convex set.

use super::convex_set::ConvexSet;
use nalgebra::{Vector2, Vector3};

/// Nearer than this a disc and a set count as touching: far under any tolerance, far above rounding at house size and
/// above the 1e-10 to which gaps are narrowed.
pub(super) const TOUCH_IN: f64 = 1e-9;

/// Newton steps before the slow search takes over. Box pairs need two or three; more than this means a pipe end that
/// grazes an edge at so small an angle that rounding governs the steps.
const STEPS: usize = 24;

/// A flat disc in the set's frame.
pub(super) struct Disc {
    center: Vector3<f64>,
    pub(super) across: [Vector3<f64>; 2],
    pub(super) radius: f64,
}

/// A distance that two points attain, nearest or near enough for the question asked.
#[derive(Clone, Copy)]
pub(super) struct Nearest {
    pub(super) distance: f64,
    pub(super) on_set: Vector3<f64>,
    pub(super) on_pipe: Vector3<f64>,
}

impl Disc {
    /// `normal` is of unit length.
    pub(super) fn new(center: Vector3<f64>, normal: &Vector3<f64>, radius: f64) -> Self {
        // Any frame will do; crossing with the smallest component keeps it well conditioned.
        let helper = Vector3::ith(normal.iamin(), 1.0);
        let first = normal.cross(&helper).normalize();
        Self { center, across: [first, normal.cross(&first)], radius }
    }

    pub(super) fn at(&self, y: &Vector2<f64>) -> Vector3<f64> {
        self.center + self.across[0] * y.x + self.across[1] * y.y
    }

    /// The disc point nearest to `x`, in disc coordinates.
    pub(super) fn project(&self, x: &Vector3<f64>) -> Vector2<f64> {
        let from = x - self.center;
        let y = Vector2::new(from.dot(&self.across[0]), from.dot(&self.across[1]));
        let norm = y.norm();
        if norm > self.radius { y * (self.radius / norm) } else { y }
    }

    /// The least `n . x` over the disc.
    fn least(&self, n: &Vector3<f64>) -> f64 {
        n.dot(&self.center) - self.radius * n.dot(&self.across[0]).hypot(n.dot(&self.across[1]))
    }

    /// The distance to `set`, narrowed until `enough(lower, upper)`.
    ///
    /// Each step is downhill on a convex function. The lower bound is the width of the slab that the current pair of
    /// points proves empty, so an early end is a proof. If the steps end early, [`Self::sliced`] decides.
    pub(super) fn bounds(&self, set: &impl ConvexSet, enough: impl Fn(f64, f64) -> bool) -> Nearest {
        let mut y = self.project(&set.nearest(&self.center));
        let mut lower = 0.0_f64;
        for _ in 0..STEPS {
            let x = self.at(&y);
            let w = set.nearest(&x);
            let apart = x - w;
            let upper = apart.norm();
            if upper <= TOUCH_IN {
                return Nearest { distance: 0.0, on_set: w, on_pipe: x };
            }
            let n = apart / upper;
            lower = lower.max(self.least(&n) - set.extent(&n));
            if enough(lower, upper) {
                return Nearest { distance: upper, on_set: w, on_pipe: x };
            }
            let target = set.disc_step(self, &y, &x, &w);
            let step = target - y;
            let moved = step * set.nearest_on_segment(&x, &(self.at(&target) - x));
            if moved.norm() <= 1e-15 * self.radius {
                break;
            }
            y += moved;
        }
        self.sliced(set)
    }

    /// The distance by golden-section search over parallel chords, each solved exactly.
    ///
    /// The distance from a chord, as a function of where the chord lies, is convex, so the search can't be trapped.
    fn sliced(&self, set: &impl ConvexSet) -> Nearest {
        let chord = |s: f64| {
            let half = (self.radius * self.radius - s * s).max(0.0).sqrt();
            let p = self.at(&Vector2::new(s, -half));
            let d = self.across[1] * (2.0 * half);
            let x = p + d * set.nearest_on_segment(&p, &d);
            let w = set.nearest(&x);
            let upper = (x - w).norm();
            Nearest { distance: upper, on_set: w, on_pipe: x }
        };
        let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
        let (mut low, mut high) = (-self.radius, self.radius);
        let (mut s, mut t) = (high - ratio * (high - low), low + ratio * (high - low));
        let (mut at_s, mut at_t) = (chord(s), chord(t));
        while high - low > 1e-14 * self.radius && at_s.distance.min(at_t.distance) > TOUCH_IN {
            if at_s.distance <= at_t.distance {
                (high, t, at_t) = (t, s, at_s);
                s = high - ratio * (high - low);
                at_s = chord(s);
            } else {
                (low, s, at_s) = (s, t, at_t);
                t = low + ratio * (high - low);
                at_t = chord(t);
            }
            // Once rounding has moved the two probes together nothing is left to gain.
            if s >= t {
                break;
            }
        }
        if at_s.distance <= at_t.distance { at_s } else { at_t }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::query::oriented_box::Extents;

    /// Two ways that share no step: Newton steps with proven bounds, and slicing. Places on a spiral around a joist
    /// put the end over its faces, edges and corners at every tilt.
    #[test]
    fn slicing_and_stepping_find_the_same_distance() {
        let joist = Extents { half: Vector3::new(0.75, 4.625, 12.0) };
        let mut apart = 0;
        for i in 0..4000 {
            let t = f64::from(i);
            let center = Vector3::new(3.0 * t.sin(), 7.0 * (0.7 * t).cos(), 15.0 * (0.31 * t).sin());
            let normal = Vector3::new((1.3 * t).cos(), (2.1 * t).sin(), (0.9 * t).cos() + 0.01).normalize();
            let disc = Disc::new(center, &normal, 1.1875);
            let stepped = disc.bounds(&joist, |lower, upper| upper - lower <= 1e-10).distance;
            let sliced = disc.sliced(&joist).distance;
            if stepped > 0.0 {
                apart += 1;
                assert!((stepped - sliced).abs() < 1e-9, "{i}: {stepped} {sliced}");
            } else {
                assert!(sliced <= TOUCH_IN, "{i}: touching, yet sliced to {sliced}");
            }
        }
        assert!(apart > 1000 && apart < 3900, "{apart}");
    }
}
