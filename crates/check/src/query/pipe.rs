//! A pipe as the queries need it: a solid cylinder with flat ends.

use super::cap::TOUCH_IN;
use super::convex_set::ConvexSet;
use nalgebra::{Point3, Vector3};

/// A solid cylinder with flat ends in job axes, inches, made ready for many queries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pipe {
    center: Point3<f64>,
    axis: Vector3<f64>,
    half_length: f64,
    radius: f64,
}

impl Pipe {
    /// From the centres of the two ends and the outside radius. `None` unless all is finite, the radius is above zero
    /// and the ends are apart.
    pub fn new(a: Point3<f64>, b: Point3<f64>, radius_in: f64) -> Option<Self> {
        let length = (b - a).norm();
        let sound = length.is_finite() && length > 0.0 && radius_in.is_finite() && radius_in > 0.0;
        sound.then(|| Self {
            center: nalgebra::center(&a, &b),
            axis: (b - a) / length,
            half_length: length / 2.0,
            radius: radius_in,
        })
    }

    /// The pipe in a frame with its origin at `origin`, turned by `turn`.
    pub(super) fn seen_from(
        &self,
        origin: &Point3<f64>,
        turn: impl Fn(&Vector3<f64>) -> Vector3<f64>,
    ) -> Cylinder {
        Cylinder {
            center: turn(&(self.center - origin)),
            axis: turn(&self.axis),
            half_length: self.half_length,
            radius: self.radius,
        }
    }

    pub(super) fn center(&self) -> Point3<f64> {
        self.center
    }

    /// The pipe about its own centre, job axes.
    pub(super) fn centered(&self) -> Cylinder {
        self.seen_from(&self.center, |v| *v)
    }
}

/// A pipe in the frame of the other solid, its axis of unit length.
#[derive(Clone, Copy)]
pub(super) struct Cylinder {
    pub(super) center: Vector3<f64>,
    pub(super) axis: Vector3<f64>,
    pub(super) half_length: f64,
    pub(super) radius: f64,
}

impl Cylinder {
    /// The largest `n . x` over the points `x` of the cylinder, seen from its centre.
    pub(super) fn reach(&self, n: &Vector3<f64>) -> f64 {
        let along = n.dot(&self.axis);
        // Not sqrt(1 - along^2), which loses half the digits when n is nearly along the axis.
        self.half_length * along.abs() + self.radius * (n - self.axis * along).norm()
    }
}

impl ConvexSet for Cylinder {
    fn nearest(&self, x: &Vector3<f64>) -> Vector3<f64> {
        let from = x - self.center;
        let along = from.dot(&self.axis);
        let out = from - self.axis * along;
        let off = out.norm();
        if off <= self.radius && along.abs() <= self.half_length {
            return *x;
        }
        let out = if off > self.radius { out * (self.radius / off) } else { out };
        self.center + self.axis * along.clamp(-self.half_length, self.half_length) + out
    }

    fn extent(&self, n: &Vector3<f64>) -> f64 {
        n.dot(&self.center) + self.reach(n)
    }

    /// The slope of the squared distance is monotone along the segment: bisect it, with secant steps between.
    fn nearest_on_segment(&self, p: &Vector3<f64>, d: &Vector3<f64>) -> f64 {
        let slope = |t: f64| {
            let x = p + d * t;
            let apart = x - self.nearest(&x);
            // Inside, or on the surface but for rounding, no point is nearer.
            if apart.norm_squared() <= TOUCH_IN * TOUCH_IN { 0.0 } else { apart.dot(d) }
        };
        let (mut low, mut high) = (0.0, 1.0);
        let mut at_low = slope(low);
        if at_low >= 0.0 {
            return 0.0;
        }
        let mut at_high = slope(high);
        if at_high <= 0.0 {
            return 1.0;
        }
        for i in 0..120 {
            let t = if i % 3 == 2 {
                f64::midpoint(low, high)
            } else {
                low + (high - low) * at_low / (at_low - at_high)
            };
            if t <= low || t >= high {
                break;
            }
            let at_t = slope(t);
            if at_t < 0.0 {
                (low, at_low) = (t, at_t);
            } else if at_t > 0.0 {
                (high, at_high) = (t, at_t);
            } else {
                return t;
            }
        }
        if -at_low < at_high { low } else { high }
    }
}
