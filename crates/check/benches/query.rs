//! What one verdict costs, beside a general-purpose solver's on the same pairs in the same run.
//!
//! The baseline is parry3d-f64 0.31.1 `intersection_test` with shapes and poses made ready beforehand. Read the ratio:
//! absolute times change from machine to machine.

use divan::{Bencher, black_box};
use nalgebra::{Isometry3, Point3, Quaternion, UnitQuaternion, Vector3};
use parry3d::math::{Pose, Rotation, Vector};
use parry3d::query::intersection_test;
use parry3d::shape::{Cuboid, Cylinder};
use truefall_check::query::{OrientedBox, Pipe, box_pipe};

fn main() {
    divan::main();
}

/// The certified pairs of framing in the given sets, apart or overlapping, as numbers of one line each.
fn lines(overlapping: bool) -> Vec<Vec<f64>> {
    include_str!("../tests/data/box_cylinder.csv")
        .lines()
        .skip(1)
        .filter(|line| line.starts_with("house") || line.starts_with("tower"))
        .map(|line| line.split(',').skip(1).map(|field| field.parse().expect("a number")).collect())
        .filter(|n: &Vec<f64>| (n[17] < 0.0) == overlapping)
        .collect()
}

fn turn(n: &[f64]) -> UnitQuaternion<f64> {
    UnitQuaternion::from_quaternion(Quaternion::new(n[6], n[3], n[4], n[5]))
}

fn ours(overlapping: bool) -> Vec<(OrientedBox, Pipe)> {
    lines(overlapping)
        .iter()
        .map(|n| {
            let pose = Isometry3::from_parts(Vector3::new(n[0], n[1], n[2]).into(), turn(n));
            let joist = OrientedBox::new(&pose, Vector3::new(n[7], n[8], n[9])).expect("a sound box");
            let pipe = Pipe::new(Point3::new(n[10], n[11], n[12]), Point3::new(n[13], n[14], n[15]), n[16]);
            (joist, pipe.expect("a sound pipe"))
        })
        .collect()
}

fn baseline(overlapping: bool) -> Vec<(Pose, Cuboid, Pose, Cylinder)> {
    lines(overlapping)
        .iter()
        .map(|n| {
            let pose = |t: Vector3<f64>, q: UnitQuaternion<f64>| {
                Pose::from_parts(Vector::new(t.x, t.y, t.z), Rotation::from_xyzw(q.i, q.j, q.k, q.w))
            };
            let (a, b) = (Vector3::new(n[10], n[11], n[12]), Vector3::new(n[13], n[14], n[15]));
            let along = UnitQuaternion::rotation_between(&Vector3::y(), &(b - a));
            let upside_down = UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI);
            (
                pose(Vector3::new(n[0], n[1], n[2]), turn(n)),
                Cuboid::new(Vector::new(n[7], n[8], n[9])),
                pose((a + b) / 2.0, along.unwrap_or(upside_down)),
                Cylinder::new((b - a).norm() / 2.0, n[16]),
            )
        })
        .collect()
}

const SIDES: [&str; 2] = ["apart", "overlapping"];

#[divan::bench(args = SIDES)]
fn verdict_ours(bencher: Bencher<'_, '_>, side: &str) {
    let pairs = ours(side == "overlapping");
    bencher.counter(pairs.len()).bench(|| {
        pairs.iter().filter(|(joist, pipe)| box_pipe::verdict(black_box(joist), black_box(pipe), 0.0)).count()
    });
}

#[divan::bench(args = SIDES)]
fn verdict_baseline_parry_intersection_test(bencher: Bencher<'_, '_>, side: &str) {
    let pairs = baseline(side == "overlapping");
    bencher.counter(pairs.len()).bench(|| {
        pairs
            .iter()
            .filter(|(p, joist, q, pipe)| {
                intersection_test(black_box(p), black_box(joist), black_box(q), black_box(pipe))
                    .is_ok_and(|found| found.intersecting)
            })
            .count()
    });
}

#[divan::bench(args = SIDES)]
fn signed_distance_ours(bencher: Bencher<'_, '_>, side: &str) {
    let pairs = ours(side == "overlapping");
    bencher.counter(pairs.len()).bench(|| {
        pairs
            .iter()
            .map(|(joist, pipe)| box_pipe::signed_distance(black_box(joist), black_box(pipe)).distance_in)
            .sum::<f64>()
    });
}
