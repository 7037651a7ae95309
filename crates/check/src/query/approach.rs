//! A pipe against any convex set, as long as they are apart: axis first, flat end only where the axis can't tell.
//!
//! Let q be the axis point nearest to the set K and w the point of K nearest to q.
//! - If q lies between the ends, w - q is square to the axis: the pipe's own nearest point is on its side, and the
//!   distance is |w - q| - r exactly, flat ends or not.
//! - If q is an end, K lies beyond the plane through w square to w - q, and w does not reach back past the end
//!   plane. A nearest pipe point on the side, away from the end, would need an axis point as near as q, and a common
//!   point of K and pipe can be joined to w inside K through the end disc. So the end disc alone decides.

use super::cap::{Disc, Nearest, TOUCH_IN};
use super::convex_set::ConvexSet;
use super::pipe::Cylinder;

/// The distance narrowed until `enough(lower, upper)`; a distance of 0 means a common point, an infinite one that the axis alone told.
pub(super) fn bounds(set: &impl ConvexSet, pipe: &Cylinder, enough: impl Fn(f64, f64) -> bool) -> Nearest {
    let start = pipe.center - pipe.axis * pipe.half_length;
    let along = pipe.axis * (2.0 * pipe.half_length);
    let t = set.nearest_on_segment(&start, &along);
    let q = start + along * t;
    let w = set.nearest(&q);
    let apart = q - w;
    let distance = apart.norm();
    let lower = distance - pipe.radius;
    if distance <= TOUCH_IN {
        return Nearest { distance: 0.0, on_set: w, on_pipe: q };
    }
    if enough(lower, f64::INFINITY) {
        return Nearest { distance: f64::INFINITY, on_set: w, on_pipe: q };
    }
    let beside = (t > 0.0 && t < 1.0) || apart.dot(&pipe.axis).abs() <= 1e-13 * distance;
    if beside {
        let reach = pipe.radius.min(distance);
        let on_pipe = q - apart * (reach / distance);
        return Nearest { distance: lower.max(0.0), on_set: w, on_pipe };
    }
    let normal = if t <= 0.0 { -pipe.axis } else { pipe.axis };
    Disc::new(q, &normal, pipe.radius).bounds(set, enough)
}

/// Whether the pipe comes within `clearance_in`, which is not negative; touching counts.
pub(super) fn within(set: &impl ConvexSet, pipe: &Cylinder, clearance_in: f64) -> bool {
    let decided = |lower: f64, upper: f64| lower > clearance_in || upper <= clearance_in;
    bounds(set, pipe, decided).distance <= clearance_in && clearance_in >= 0.0
}

/// The nearest points with their distance, or `None` where the two have a common point.
pub(super) fn gap(set: &impl ConvexSet, pipe: &Cylinder) -> Option<Nearest> {
    let found = bounds(set, pipe, |lower, upper| upper - lower <= 1e-10);
    (found.distance > TOUCH_IN).then_some(found)
}

/// The nearest points of a pair moved apart along `n`, the direction in which they overlap least.
///
/// After a move by the depth and one inch more the nearest points are one inch apart along `n`; they are the points
/// of first contact, and the search for them is well conditioned, which it would not be at contact.
pub(super) fn witness(
    set: &impl ConvexSet,
    pipe: &Cylinder,
    n: &nalgebra::Vector3<f64>,
    depth: f64,
) -> Nearest {
    let away = n * (depth + 1.0);
    let moved = Cylinder { center: pipe.center + away, ..*pipe };
    let found = bounds(set, &moved, |lower, upper| upper - lower <= 1e-13);
    // The two searched points are good to about 1e-8 in each; taking the second from the first makes the move between
    // them exact, which matters more than where along the contact they lie.
    Nearest { on_pipe: found.on_set - n * depth, ..found }
}
