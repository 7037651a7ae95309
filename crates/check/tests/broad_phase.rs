//! The broad phase against comparing every body with every other.

use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use truefall_check::query::Solid;
use truefall_check::query::broad::Broad;
use truefall_model::solid::Body;

/// A floor of 2 x 10 joists at 16 in on centre, every third one turned a little, as in a house that has moved.
fn joists() -> Vec<Body> {
    (0..60)
        .map(|i| {
            let lean = if i % 3 == 0 { 0.02 } else { 0.0 };
            Body::Cuboid {
                pose: Isometry3::from_parts(
                    Vector3::new(16.0 * f64::from(i % 20), 72.0, 120.0 * f64::from(i / 20)).into(),
                    UnitQuaternion::from_axis_angle(&Vector3::z_axis(), lean),
                ),
                half: Vector3::new(0.75, 72.0, 4.625),
            }
        })
        .collect()
}

/// Drains across and along the joists and risers between them, some hung exactly against a joist.
fn pipes() -> Vec<Body> {
    let mut all = Vec::new();
    for i in 0..40 {
        let step = f64::from(i);
        let level = 120.0 * f64::from(i % 3);
        let run = Point3::new(7.0 * step, 10.0 + 3.0 * step, level - 8.0 + step / 4.0);
        all.push(Body::Cylinder { a: run, b: run + Vector3::new(60.0, 0.0, -1.25), radius_in: 1.1875 });
        let along = Point3::new(0.75 + 1.75 + 16.0 * f64::from(i % 20), step, level);
        all.push(Body::Cylinder { a: along, b: along + Vector3::new(0.0, 50.0, 0.0), radius_in: 1.75 });
        let riser = Point3::new(5.0 * step, 30.0, 0.0);
        all.push(Body::Cylinder { a: riser, b: riser + Vector3::new(0.0, 0.0, 200.0), radius_in: 1.1875 });
    }
    all
}

fn boxes_near(one: &Body, other: &Body, clearance_in: f64) -> bool {
    let ((low1, high1), (low2, high2)) = (one.aabb(), other.aabb());
    (0..3).all(|i| low1[i] <= high2[i] + clearance_in && low2[i] <= high1[i] + clearance_in)
}

#[test]
fn finds_the_pairs_that_comparing_all_finds_in_ascending_order() {
    let (joists, pipes) = (joists(), pipes());
    let tree = Broad::new(&joists);
    for clearance_in in [0.0, 0.25, 6.0] {
        let mut expected = Vec::new();
        for (i, pipe) in pipes.iter().enumerate() {
            for (k, joist) in joists.iter().enumerate() {
                if boxes_near(pipe, joist, clearance_in) {
                    expected.push((i, k));
                }
            }
        }
        let found = tree.pairs_with(&pipes, clearance_in);
        assert!(expected.len() > 40, "the scene must try the search");
        // The search may add pairs that miss by a rounding hair, never drop one.
        let extra: Vec<_> = found.iter().filter(|pair| !expected.contains(pair)).collect();
        assert!(expected.iter().all(|pair| found.contains(pair)), "lost a pair at {clearance_in}");
        assert!(
            extra.iter().all(|(i, k)| boxes_near(&pipes[*i], &joists[*k], clearance_in + 1e-5)),
            "{extra:?} at {clearance_in}"
        );
        assert!(found.is_sorted() && found.len() < pipes.len() * joists.len() / 2);
        assert_eq!(found, tree.pairs_with(&pipes, clearance_in), "the order must not change");
    }
}

#[test]
fn no_pair_within_the_clearance_is_lost() {
    let (joists, pipes) = (joists(), pipes());
    let tree = Broad::new(&joists);
    let solid = |body: &Body| Solid::new(body).expect("a sound body");
    for clearance_in in [0.0, 0.25] {
        let found = tree.pairs_with(&pipes, clearance_in);
        let mut within = 0;
        for (i, pipe) in pipes.iter().enumerate() {
            for (k, joist) in joists.iter().enumerate() {
                if solid(pipe).within(&solid(joist), clearance_in) {
                    within += 1;
                    assert!(found.contains(&(i, k)), "pipe {i} and joist {k} at {clearance_in}");
                }
            }
        }
        assert!(within > 40, "{within}");
    }
}

#[test]
fn an_empty_tree_and_a_tree_of_one_answer() {
    assert!(Broad::new(&[]).near(&pipes()[0], 1.0).is_empty());
    assert_eq!(Broad::new(&joists()[..1]).near(&joists()[0], 0.0), vec![0]);
}
