//! The box and pipe kernel against the 2,300 certified pairs of `data/box_cylinder.csv`.

use nalgebra::{Isometry3, Point3, Quaternion, UnitQuaternion, Vector3};
use truefall_check::query::{Separation, Solid, convex};
use truefall_model::solid::Body;

struct Pair {
    line: usize,
    joist: Body,
    pipe: Body,
    signed_distance_in: f64,
}

fn pairs() -> Vec<Pair> {
    let text = include_str!("data/box_cylinder.csv");
    let all: Vec<Pair> = text
        .lines()
        .enumerate()
        .skip(1)
        .map(|(i, line)| {
            let n: Vec<f64> = line
                .split(',')
                .skip(1)
                .map(|field| field.parse().expect("every field but the set is a number"))
                .collect();
            let turn = UnitQuaternion::from_quaternion(Quaternion::new(n[6], n[3], n[4], n[5]));
            Pair {
                line: i + 1,
                joist: Body::Cuboid {
                    pose: Isometry3::from_parts(Vector3::new(n[0], n[1], n[2]).into(), turn),
                    half: Vector3::new(n[7], n[8], n[9]),
                },
                pipe: Body::Cylinder {
                    a: Point3::new(n[10], n[11], n[12]),
                    b: Point3::new(n[13], n[14], n[15]),
                    radius_in: n[16],
                },
                signed_distance_in: n[17],
            }
        })
        .collect();
    assert_eq!(all.len(), 2300);
    all
}

fn sound(body: &Body) -> Solid {
    Solid::new(body).expect("the data holds sound bodies only")
}

fn solids(pair: &Pair) -> (Solid, Solid) {
    (sound(&pair.joist), sound(&pair.pipe))
}

/// How far outside the body a point lies; 0 inside.
fn outside(body: &Body, p: &Point3<f64>) -> f64 {
    match *body {
        Body::Cuboid { pose, half } => {
            (pose.inverse() * p).coords.abs().zip_map(&half, |x, h| (x - h).max(0.0)).norm()
        }
        Body::Cylinder { a, b, radius_in } => {
            let axis = (b - a).normalize();
            let along = (p - a).dot(&axis);
            let off = (p - a - axis * along).norm();
            let beyond = (-along).max(along - (b - a).norm()).max(0.0);
            beyond.hypot((off - radius_in).max(0.0))
        }
    }
}

#[test]
fn distances_and_depths_agree_to_a_millionth_of_an_inch() {
    let mut worst = (0.0_f64, 0);
    let (mut gaps, mut clashes) = (0, 0);
    for pair in pairs() {
        let (joist, pipe) = solids(&pair);
        let found = joist.separation(&pipe).distance_in;
        let error = (found - pair.signed_distance_in).abs();
        if error > worst.0 {
            worst = (error, pair.line);
        }
        assert!(error <= 1e-6, "line {}: {found} for {}", pair.line, pair.signed_distance_in);
        if pair.signed_distance_in > 0.0 { gaps += 1 } else { clashes += 1 }
    }
    println!("{gaps} gaps, {clashes} touching or overlapping; worst error {} on line {}", worst.0, worst.1);
    assert!(gaps > 500 && clashes > 500, "the data must try both sides");
}

#[test]
fn no_verdict_is_wrong() {
    for pair in pairs() {
        let (joist, pipe) = solids(&pair);
        for clearance_in in [0.0, 0.25] {
            // The data is certified to 1e-7: nearer than that to the limit it can't tell.
            let margin = pair.signed_distance_in - clearance_in;
            if margin.abs() > 2e-7 {
                let expected = margin < 0.0;
                assert_eq!(
                    joist.within(&pipe, clearance_in),
                    expected,
                    "line {} at {clearance_in}",
                    pair.line
                );
                assert_eq!(pipe.within(&joist, clearance_in), expected, "line {} swapped", pair.line);
                assert_eq!(
                    convex::verdict(&pair.joist, &pair.pipe, clearance_in),
                    Some(expected),
                    "line {} by the general verdict",
                    pair.line
                );
            }
        }
    }
}

/// The points must prove the number: each on its own body, apart by the distance, and in a clash the move from one to
/// the other must leave the bodies just touching.
#[test]
fn points_lie_on_their_bodies_and_show_the_distance() {
    for pair in pairs() {
        let (joist, pipe) = solids(&pair);
        let Separation { distance_in, on_first, on_second } = joist.separation(&pipe);
        let line = pair.line;
        assert!(outside(&pair.joist, &on_first) < 1e-6, "line {line}: {on_first} is off the box");
        assert!(outside(&pair.pipe, &on_second) < 1e-6, "line {line}: {on_second} is off the pipe");
        let apart = on_first - on_second;
        assert!(
            (apart.norm() - distance_in.abs()).abs() < 1e-6,
            "line {line}: {} {distance_in}",
            apart.norm()
        );
        if distance_in < 0.0 {
            let out =
                Isometry3::from_parts((apart + apart.normalize() * 1e-6).into(), UnitQuaternion::identity());
            let moved = sound(&pair.pipe.transformed(&out));
            assert!(!joist.within(&moved, 0.0), "line {line}: still in after the move");
        }
    }
}

#[test]
fn carrying_a_pair_far_away_changes_no_distance() {
    let motion = Isometry3::from_parts(
        Vector3::new(4000.0, -3000.0, 600.0).into(),
        UnitQuaternion::from_euler_angles(0.2, 0.7, 2.4),
    );
    for pair in pairs().iter().step_by(7) {
        let joist = sound(&pair.joist.transformed(&motion));
        let pipe = sound(&pair.pipe.transformed(&motion));
        let found = pipe.separation(&joist).distance_in;
        assert!((found - pair.signed_distance_in).abs() <= 1e-6, "line {}: {found}", pair.line);
    }
}
