//! A box against a pipe: joist and drain, stud and vent. Closed forms, and one certified search.
//!
//! Distances between the two are exact to rounding where the pipe's nearest axis point is not an end, and narrowed to
//! 1e-10 in otherwise. Depths take the least over all directions in which the two can touch: a face of the box, a flat
//! end, an edge of the box across the pipe's side, a corner on its side (closed forms), and an edge across a rim
//! (`rim_search`).

use super::approach;
use super::deepest::Deepest;
use super::oriented_box::{Extents, OrientedBox};
use super::pipe::{Cylinder, Pipe};
use super::rim_search::{self, EdgeView};
use super::separation::Separation;
use nalgebra::Vector3;

fn seen_from_box(joist: &OrientedBox, pipe: &Pipe) -> Cylinder {
    pipe.seen_from(&joist.center(), |v| joist.job_from_box().tr_mul(v))
}

/// Whether box and pipe come within `clearance_in` of each other. Touching counts; nothing is within a negative
/// clearance.
pub fn verdict(joist: &OrientedBox, pipe: &Pipe, clearance_in: f64) -> bool {
    approach::within(&joist.extents(), &seen_from_box(joist, pipe), clearance_in)
}

/// The gap or the penetration depth, with its points; the box is the first solid.
pub fn signed_distance(joist: &OrientedBox, pipe: &Pipe) -> Separation {
    let extents = joist.extents();
    let local = seen_from_box(joist, pipe);
    let (distance_in, points) = match approach::gap(&extents, &local) {
        Some(found) => (found.distance, found),
        None => {
            let (depth, n) = deepest(&extents, &local);
            (-depth, approach::witness(&extents, &local, &n, depth))
        }
    };
    Separation {
        distance_in,
        on_first: joist.in_job(&points.on_set),
        on_second: joist.in_job(&points.on_pipe),
    }
}

/// The least overlap and the direction in which to move the pipe out, in the box's frame.
fn deepest(extents: &Extents, pipe: &Cylinder) -> (f64, Vector3<f64>) {
    let half = extents.half;
    let mut best = Deepest::new(|n: &Vector3<f64>| half.dot(&n.abs()) + pipe.reach(n) - n.dot(&pipe.center));
    best.consider_both_ways(&pipe.axis);
    for i in 0..3 {
        let edge = Vector3::ith(i, 1.0);
        best.consider_both_ways(&edge);
        best.consider_both_ways(&edge.cross(&pipe.axis));
    }
    for corner in extents.corners() {
        let inward = pipe.center - corner;
        let off = inward - pipe.axis * inward.dot(&pipe.axis);
        if let Some(n) = off.try_normalize(1e-12) {
            best.consider(n);
        }
    }
    for i in 0..3 {
        let side = |k: usize| Vector3::ith(k % 3, half[k % 3]);
        let view =
            EdgeView { edge: Vector3::ith(i, 1.0), rectangle: Some([side(i + 1), side(i + 2)]), disc: 0.0 };
        rim_search::search(&view, pipe, &pipe.center, &mut best);
    }
    (best.depth.max(0.0), best.direction)
}
