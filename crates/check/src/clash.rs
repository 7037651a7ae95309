//! Parts in each other and parts in keep-outs.
//!
//! Parts that are joined, or joined to one and the same third, meet by design and are not held against each other: a
//! pipe sits in its hub, and two hubs at the ends of a make-up piece are face to face. Overlap up to [`TOUCH`] is a touch.
//! Existing parts are held against new ones, not against each other.

use crate::bore::Occupants;
use crate::query::Solid;
use nalgebra::Point3;
use std::collections::BTreeMap;
use truefall_model::framing::space::KeepOutSpace;
use truefall_model::place::PartId;
use truefall_model::solid::Body;
use truefall_model::tolerance::{TOUCH, order};
use truefall_model::units::Length;

/// Two parts that take up the same space.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeClash {
    /// The one placed first.
    pub one: PartId,
    /// The other.
    pub other: PartId,
    /// The shortest move that parts the two bodies deepest in each other.
    pub depth: Length,
    /// Where, in job axes.
    pub at: Point3<f64>,
}

/// A part in a keep-out.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOutClash {
    /// The keep-out, by its place in the frame.
    pub keep_out: usize,
    /// The part.
    pub part: PartId,
    /// The shortest move out of it.
    pub depth: Length,
    /// Where, in job axes.
    pub at: Point3<f64>,
}

/// Keeps the deepest for each key.
fn keep<K: Ord>(found: &mut BTreeMap<K, (f64, Point3<f64>)>, key: K, depth: f64, at: Point3<f64>) {
    let deepest = found.entry(key).or_insert((depth, at));
    if order(depth, deepest.0).is_gt() {
        *deepest = (depth, at);
    }
}

fn overlap(one: &Body, other: &Body) -> Option<(f64, Point3<f64>)> {
    let (one, other) = (Solid::new(one).ok()?, Solid::new(other).ok()?);
    if !one.within(&other, 0.0) {
        return None;
    }
    let found = one.separation(&other);
    let depth = -found.distance_in;
    (depth > TOUCH.to_inches()).then(|| (depth, nalgebra::center(&found.on_first, &found.on_second)))
}

/// All pairs of parts that overlap and are no neighbours, by part.
pub fn pipe_clashes(occupants: &Occupants) -> Vec<PipeClash> {
    let bodies = occupants.bodies();
    let mut found = BTreeMap::new();
    for (i, k) in occupants.broad().pairs_with(&bodies, 0.0).into_iter().filter(|(i, k)| i < k) {
        let (a, b) = (&occupants.all[i], &occupants.all[k]);
        if (a.existing && b.existing) || occupants.are_neighbours(a.part, b.part) {
            continue;
        }
        if let Some((depth, at)) = overlap(&a.body, &b.body) {
            keep(&mut found, (a.part.min(b.part), a.part.max(b.part)), depth, at);
        }
    }
    found
        .into_iter()
        .map(|((one, other), (depth, at))| PipeClash { one, other, depth: Length::inches(depth), at })
        .collect()
}

/// All parts in keep-outs, by keep-out and part. Existing parts were there before.
pub fn keep_out_clashes(occupants: &Occupants, keep_outs: &[KeepOutSpace]) -> Vec<KeepOutClash> {
    let mut found = BTreeMap::new();
    for (i, keep_out) in keep_outs.iter().enumerate() {
        let taken = Body::Cuboid { pose: keep_out.pose, half: keep_out.half };
        for occupant in
            occupants.broad().near(&taken, 0.0).into_iter().map(|k| &occupants.all[k]).filter(|o| !o.existing)
        {
            if let Some((depth, at)) = overlap(&taken, &occupant.body) {
                keep(&mut found, (i, occupant.part), depth, at);
            }
        }
    }
    found
        .into_iter()
        .map(|((keep_out, part), (depth, at))| KeepOutClash {
            keep_out,
            part,
            depth: Length::inches(depth),
            at,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bore::{Occupant, Through};
    use nalgebra::{Isometry3, Vector3};
    use truefall_model::framing::house::KeepOutKind;
    use truefall_model::label::Label;

    fn pipe(part: u32, a: [f64; 3], b: [f64; 3]) -> Occupant {
        // 2 in pipe: 2.375 outside (ASTM D1785).
        let body = Body::Cylinder { a: a.into(), b: b.into(), radius_in: 2.375 / 2.0 };
        Occupant { part: PartId(part), through: Through::Pipe, existing: false, body }
    }

    fn crossing(gap: f64) -> Vec<Occupant> {
        let apart = 2.375 + gap;
        vec![pipe(0, [-20.0, 0.0, 0.0], [20.0, 0.0, 0.0]), pipe(1, [0.0, -20.0, apart], [0.0, 20.0, apart])]
    }

    // Crossing pipes clear each other by the distance of their axes less one outside diameter: elementary geometry.
    #[test]
    fn crossing_pipes_clash_by_more_than_a_touch_only() {
        let clashes = |gap: f64| pipe_clashes(&Occupants::new(crossing(gap), []));
        assert_eq!(clashes(0.25), []);
        assert_eq!(clashes(0.0), []);
        assert_eq!(clashes(-1.0 / 64.0 + 1e-6), []);
        let deep = clashes(-0.5);
        assert_eq!(deep.len(), 1);
        assert!((deep[0].depth.to_inches() - 0.5).abs() < 1e-6, "{deep:?}");
        assert_eq!((deep[0].one, deep[0].other), (PartId(0), PartId(1)));
    }

    #[test]
    fn parts_joined_or_joined_to_one_third_are_not_held_against_each_other() {
        let clashes = |joints: &[(u32, u32)]| {
            let joints = joints.iter().map(|(a, b)| (PartId(*a), PartId(*b)));
            pipe_clashes(&Occupants::new(crossing(-0.5), joints)).len()
        };
        assert_eq!(clashes(&[(0, 1)]), 0);
        assert_eq!(clashes(&[(0, 2), (2, 1)]), 0);
        assert_eq!(clashes(&[(0, 2), (2, 3), (3, 1)]), 1);
    }

    #[test]
    fn existing_parts_are_held_against_new_ones_only() {
        let mut both = crossing(-0.5);
        both[0].existing = true;
        assert_eq!(pipe_clashes(&Occupants::new(both.clone(), [])).len(), 1);
        both[1].existing = true;
        assert_eq!(pipe_clashes(&Occupants::new(both, [])), []);
    }

    #[test]
    fn a_pipe_in_a_keep_out_is_told_with_its_way_out() {
        let duct = KeepOutSpace {
            label: Label::new("duct"),
            kind: KeepOutKind::Duct,
            wall: None,
            pose: Isometry3::translation(0.0, 0.0, 3.0),
            half: Vector3::new(5.0, 5.0, 2.0),
        };
        // The duct's underside is 1 in over the pipe's axis, its radius 1.1875: 0.1875 deep.
        let occupants = Occupants::new(crossing(40.0), []);
        let found = keep_out_clashes(&occupants, &[duct]);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].part, PartId(0));
        assert!((found[0].depth.to_inches() - 0.1875).abs() < 1e-6, "{found:?}");
    }
}
