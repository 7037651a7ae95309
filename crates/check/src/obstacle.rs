//! What stands in a room, seen from above: walls with their finish, and what the job keeps free.

use nalgebra::{Point2, Vector3};
use truefall_model::framing::frame::Framed;
use truefall_model::label::Label;
use truefall_model::tolerance::SLACK;

/// One thing that stands in the way, as its outline on the plan: convex, corners in turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Obstacle<'a> {
    /// Its name.
    pub label: &'a Label,
    corners: Vec<Point2<f64>>,
}

impl<'a> Obstacle<'a> {
    /// Everything between two heights: walls to their finished faces, keep-outs as boxes. A touch is none.
    pub fn between(framed: &'a Framed, low: f64, high: f64) -> Vec<Self> {
        let meets = |z0: f64, z1: f64| z1 > low + SLACK && z0 < high - SLACK;
        let walls = framed.walls.iter().filter(|w| meets(w.z0, w.z1)).map(|w| {
            let (back, front) = (-w.depth - w.finish_back, w.finish_room);
            let ends = [(0.0, front), (w.length, front), (w.length, back), (0.0, back)];
            Self { label: &w.label, corners: ends.iter().map(|(a, o)| w.at(*a, *o)).collect() }
        });
        let keep_outs = framed.keep_outs.iter().filter_map(|k| {
            let z = k.pose.translation.z;
            let corner = |x: f64, y: f64| {
                k.pose * nalgebra::Point3::from(k.half.component_mul(&Vector3::new(x, y, 0.0)))
            };
            meets(z - k.half.z, z + k.half.z).then(|| Self {
                label: &k.label,
                corners: [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                    .iter()
                    .map(|(x, y)| corner(*x, *y).xy())
                    .collect(),
            })
        });
        walls.chain(keep_outs).collect()
    }

    /// The point of it that is nearest to a point on the plan; that point itself where it lies within.
    pub fn nearest(&self, to: Point2<f64>) -> Point2<f64> {
        let sides = self.corners.iter().zip(self.corners.iter().cycle().skip(1));
        let mut turns = (false, false);
        let mut nearest: Option<Point2<f64>> = None;
        for (a, b) in sides {
            let side = b - a;
            let turn = side.perp(&(to - a));
            turns = (turns.0 || turn > 0.0, turns.1 || turn < 0.0);
            let share = ((to - a).dot(&side) / side.norm_squared()).clamp(0.0, 1.0);
            let point = a + side * share;
            if nearest.is_none_or(|n| (point - to).norm() < (n - to).norm()) {
                nearest = Some(point);
            }
        }
        // Within a convex outline a point lies on one side of all of its edges.
        nearest.filter(|_| turns.0 && turns.1).unwrap_or(to)
    }

    /// The same in another frame.
    pub fn map(mut self, to: impl Fn(Point2<f64>) -> Point2<f64>) -> Self {
        for corner in &mut self.corners {
            *corner = to(*corner);
        }
        self
    }

    /// Least and greatest x and y of what of it lies in a box; none where that is nothing or a touch.
    pub fn within(&self, x: (f64, f64), y: (f64, f64)) -> Option<Extent> {
        let mut corners = clip(&self.corners, |p| p.x - x.0);
        corners = clip(&corners, |p| x.1 - p.x);
        corners = clip(&corners, |p| p.y - y.0);
        corners = clip(&corners, |p| y.1 - p.y);
        let fold = |of: fn(&Point2<f64>) -> f64| {
            let values = corners.iter().map(of);
            (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
        };
        let extent = Extent { x: fold(|p| p.x), y: fold(|p| p.y) };
        let open = |(low, high): (f64, f64)| high - low > SLACK;
        (open(extent.x) && open(extent.y)).then_some(extent)
    }
}

/// Least and greatest x and y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Across.
    pub x: (f64, f64),
    /// Out.
    pub y: (f64, f64),
}

/// What of a convex outline lies on the side where `inside` is not below zero.
fn clip(corners: &[Point2<f64>], inside: impl Fn(&Point2<f64>) -> f64) -> Vec<Point2<f64>> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    for (i, corner) in corners.iter().enumerate() {
        let next = &corners[(i + 1) % corners.len()];
        let (here, there) = (inside(corner), inside(next));
        if here >= 0.0 {
            kept.push(*corner);
        }
        if (here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0) {
            kept.push(corner + (next - corner) * (here / (here - there)));
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    // A wall that goes off at 45 degrees from (15, 0) is 5 in nearer at 5 in out where it leans in: plain geometry.
    #[test]
    fn a_wall_at_an_angle_is_nearest_at_the_end_of_the_strip() {
        let label = Label::new("slant");
        let ends = [(15.0, 0.0), (35.0, 0.0), (15.0, 20.0), (-5.0, 20.0)];
        let corners = ends.iter().map(|(x, y)| Point2::new(*x, *y)).collect();
        let slant = Obstacle { label: &label, corners };
        let near = slant.within((-100.0, 100.0), (0.0, 5.0)).expect("it is in the strip");
        assert!((near.x.0 - 10.0).abs() < 1e-12 && (near.y.1 - 5.0).abs() < 1e-12, "{near:?}");
        assert_eq!(slant.within((-100.0, 100.0), (-5.0, 0.0)), None, "a touch is none");
        assert_eq!(slant.within((40.0, 100.0), (0.0, 20.0)), None);
    }
}
