//! A pipe against a pipe, both solid cylinders with flat ends.
//!
//! Gaps and verdicts are exact to rounding where the nearest points of both axes are not ends, and searched to about
//! 1e-9 in otherwise. A depth is the least overlap over the directions found and so is never too small. It is exact
//! where side meets side, an end meets anything, or a side meets a rim. Where rim meets rim no closed form is used: a
//! descent from every direction above looks for less, and may stop early.

use super::approach;
use super::deepest::Deepest;
use super::pipe::{Cylinder, Pipe};
use super::rim_search::{self, EdgeView};
use super::separation::Separation;
use nalgebra::Vector3;

/// Whether the pipes come within `clearance_in` of each other. Touching counts; nothing is within a negative
/// clearance.
pub fn verdict(first: &Pipe, second: &Pipe, clearance_in: f64) -> bool {
    approach::within(&first.centered(), &second.seen_from(&first.center(), |v| *v), clearance_in)
}

/// The gap or the penetration depth, with its points.
pub fn signed_distance(first: &Pipe, second: &Pipe) -> Separation {
    let set = first.centered();
    let other = second.seen_from(&first.center(), |v| *v);
    let (distance_in, points) = match approach::gap(&set, &other) {
        Some(found) => (found.distance, found),
        None => {
            let (depth, n) = deepest(&set, &other);
            (-depth, approach::witness(&set, &other, &n, depth))
        }
    };
    Separation {
        distance_in,
        on_first: first.center() + points.on_set,
        on_second: first.center() + points.on_pipe,
    }
}

/// The least overlap found and the direction in which to move the second pipe out.
fn deepest(first: &Cylinder, second: &Cylinder) -> (f64, Vector3<f64>) {
    let mut best = Deepest::new(|n: &Vector3<f64>| first.reach(n) + second.reach(n) - n.dot(&second.center));
    let square_to = |axis: &Vector3<f64>| second.center - axis * second.center.dot(axis);
    // Any direction square to the axis serves two pipes on one line.
    let any_square = first.axis.cross(&Vector3::ith(first.axis.iamin(), 1.0));
    let starts = [
        first.axis,
        second.axis,
        first.axis.cross(&second.axis),
        square_to(&first.axis),
        square_to(&second.axis),
        any_square,
        second.center,
    ];
    for start in &starts {
        best.consider_both_ways(start);
    }
    for (straight, rim) in [(first, second), (second, first)] {
        let view = EdgeView { edge: straight.axis, rectangle: None, disc: straight.radius };
        rim_search::search(&view, rim, &second.center, &mut best);
    }
    // Along an axis the overlap has the shape of a cone's tip, from which a descent may see no way down: start beside
    // it as well, towards the other pipe and away.
    let beside = [first.axis, second.axis].into_iter().flat_map(|axis| {
        let off = square_to(&axis).try_normalize(1e-12).unwrap_or_else(|| any_square.normalize()) * 0.2;
        [axis + off, axis - off]
    });
    // Overlaps change slowly with direction: one that is far from the least leads down to nothing new.
    let (found, limit) = (best.direction, 2.0 * best.depth);
    descend(&mut best, found, COARSE);
    let all = starts.iter().copied().chain(beside).flat_map(|v| [v, -v]);
    for n in all.filter_map(|v| v.try_normalize(1e-12)) {
        if best.overlap(&n) <= limit {
            descend(&mut best, n, COARSE);
        }
    }
    let found = best.direction;
    descend(&mut best, found, FINE);
    (best.depth.max(0.0), best.direction)
}

/// Where a first descent ends: between two rims the overlap is smooth, so near its least it is off by the square of this.
const COARSE: f64 = 1e-5;

/// Where the last descent ends, so that the direction, not only the depth, is good; below this rounding hides the slope.
const FINE: f64 = 1e-8;

/// Walks downhill on the sphere of directions by ever smaller steps.
fn descend<F: Fn(&Vector3<f64>) -> f64>(best: &mut Deepest<F>, start: Vector3<f64>, end: f64) {
    let (mut n, mut at_n) = (start, best.overlap(&start));
    let mut step = 0.25;
    let mut moves = 0;
    while step > end && moves < 400 {
        let first = n.cross(&Vector3::ith(n.iamin(), 1.0)).normalize();
        let second = n.cross(&first);
        let mut better = None;
        for i in 0..8 {
            // The compass turns by another angle each time, so that no narrow way down lies between its points for long.
            let (s, c) = (f64::from(i) * std::f64::consts::FRAC_PI_4 + 2.4 * f64::from(moves)).sin_cos();
            let tried = (n + (first * c + second * s) * step).normalize();
            let at_tried = best.overlap(&tried);
            if at_tried < at_n {
                better = Some(tried);
                at_n = at_tried;
            }
        }
        match better {
            Some(tried) => n = tried,
            None => step /= 2.0,
        }
        moves += 1;
    }
    best.consider(n);
}
