//! The broad phase: which pairs of solids are worth measuring.

use parry3d::bounding_volume::Aabb;
use parry3d::math::Vector;
use parry3d::partitioning::{Bvh, BvhBuildStrategy};
use truefall_model::solid::Body;

/// A search tree over the upright bounding boxes of some bodies, which are named by their place in the list given.
#[derive(Debug, Clone, Default)]
pub struct Broad {
    tree: Bvh,
}

impl Broad {
    /// Builds the tree. The boxes are tight: a sloped pipe's is no larger than its shadow on each axis.
    pub fn new(bodies: &[Body]) -> Self {
        let boxes: Vec<Aabb> = bodies.iter().map(|body| around(body, 0.0)).collect();
        Self { tree: Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes) }
    }

    /// Every body whose bounding box comes within `clearance_in` of that of `body`, in ascending order. A body that is
    /// itself within the clearance is always among them.
    pub fn near(&self, body: &Body, clearance_in: f64) -> Vec<usize> {
        let region = around(body, clearance_in);
        let mut found: Vec<usize> = self.tree.intersect_aabb(&region).map(|i| i as usize).collect();
        found.sort_unstable();
        found
    }

    /// Every pair (place in `others`, place in this tree) whose bounding boxes come within `clearance_in`, ascending.
    pub fn pairs_with(&self, others: &[Body], clearance_in: f64) -> Vec<(usize, usize)> {
        others
            .iter()
            .enumerate()
            .flat_map(|(i, body)| self.near(body, clearance_in).into_iter().map(move |k| (i, k)))
            .collect()
    }
}

fn around(body: &Body, clearance_in: f64) -> Aabb {
    let (low, high) = body.aabb();
    // A hair more, so that rounding in a box never hides a pair that touches.
    let more = clearance_in + 1e-9 * (1.0 + low.coords.amax().max(high.coords.amax()));
    Aabb::new(
        Vector::new(low.x - more, low.y - more, low.z - more),
        Vector::new(high.x + more, high.y + more, high.z + more),
    )
}
