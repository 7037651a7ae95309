//! The signed distance of two boxes: exact, because only straight edges and flat faces meet.

use super::convex_set::ConvexSet;
use super::deepest::Deepest;
use super::oriented_box::OrientedBox;
use super::separation::Separation;
use nalgebra::{Matrix3, Vector3};

/// The gap or the penetration depth, with its points. The verdict on two boxes is [`super::convex`]'s.
///
/// Depth: the overlap of two boxes is least along one of their 6 face normals or 9 products of edges. Gap: the nearest
/// points of two boxes apart can be chosen so that one of them lies on an edge of its box; each of the 24 edges is
/// measured against the other box exactly.
pub fn signed_distance(first: &OrientedBox, second: &OrientedBox) -> Separation {
    // All in the frame of the first box.
    let first_from_second = first.job_from_box().tr_mul(second.job_from_box());
    let center = first.job_from_box().tr_mul(&(second.center() - first.center()));
    let (half, other_half) = (first.extents().half, second.extents().half);
    let mut best = Deepest::new(|n: &Vector3<f64>| {
        half.dot(&n.abs()) + other_half.dot(&first_from_second.tr_mul(n).abs()) - n.dot(&center)
    });
    for i in 0..3 {
        let edge = Vector3::ith(i, 1.0);
        best.consider_both_ways(&edge);
        best.consider_both_ways(&first_from_second.column(i).into_owned());
        for k in 0..3 {
            best.consider_both_ways(&edge.cross(&first_from_second.column(k)));
        }
    }
    let (depth, n) = (best.depth, best.direction);
    let in_job = |at: (Vector3<f64>, Vector3<f64>)| (first.in_job(&at.0), first.in_job(&at.1));
    if depth >= 0.0 {
        // Moved out by the depth and an inch, the nearest points are those of first contact, an inch apart.
        let away = n * (depth + 1.0);
        let (_, (on_first, on_second)) = nearest(first, second, &first_from_second, &(center + away));
        let (on_first, on_second) = in_job((on_first, on_second - away));
        return Separation { distance_in: -depth, on_first, on_second };
    }
    let (distance_in, points) = nearest(first, second, &first_from_second, &center);
    let (on_first, on_second) = in_job(points);
    Separation { distance_in, on_first, on_second }
}

/// Distance and nearest points of two boxes that are apart, in the frame of the first.
fn nearest(
    first: &OrientedBox,
    second: &OrientedBox,
    first_from_second: &Matrix3<f64>,
    center: &Vector3<f64>,
) -> (f64, (Vector3<f64>, Vector3<f64>)) {
    let (here, there) = (first.extents(), second.extents());
    let mut best = (f64::INFINITY, (Vector3::zeros(), Vector3::zeros()));
    for i in 0..3 {
        for corner in here.corners().filter(|c| c[i] < 0.0) {
            let p = first_from_second.tr_mul(&(corner - center));
            let d = first_from_second.tr_mul(&Vector3::ith(i, 2.0 * here.half[i]));
            let x = p + d * there.nearest_on_segment(&p, &d);
            let w = there.nearest(&x);
            if (x - w).norm() < best.0 {
                best = ((x - w).norm(), (center + first_from_second * x, center + first_from_second * w));
            }
        }
        for corner in there.corners().filter(|c| c[i] < 0.0) {
            let p = center + first_from_second * corner;
            let d = first_from_second * Vector3::ith(i, 2.0 * there.half[i]);
            let x = p + d * here.nearest_on_segment(&p, &d);
            let w = here.nearest(&x);
            if (x - w).norm() < best.0 {
                best = ((x - w).norm(), (w, x));
            }
        }
    }
    best
}
