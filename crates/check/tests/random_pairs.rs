//! Seeded random pairs of every kind against an independent solver and against plain sampling.
//!
//! The solver is parry's f64 yes or no (a reference library; its separating planes are proofs, its numbers are not used):
//! asked just short of a gap and just beyond it, it confirms the gap from both sides. Depths are confirmed from above by
//! moving the bodies apart, and from below by trying many directions.

use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use truefall_check::query::{Separation, Solid, convex};
use truefall_model::solid::Body;

/// splitmix64 (Steele, Lea, Flood 2014): the same pairs on every machine.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn direction(&mut self) -> Vector3<f64> {
        loop {
            let v = Vector3::from_fn(|_, _| self.between(-1.0, 1.0));
            if v.norm() > 0.1 && v.norm() <= 1.0 {
                return v.normalize();
            }
        }
    }

    fn place(&mut self, reach: f64) -> Vector3<f64> {
        let direction = self.direction();
        direction * reach * self.next()
    }

    /// A stick of framing or a block, mostly along the axes, as framing is.
    fn cuboid(&mut self, reach: f64) -> Body {
        let half = match (self.next() * 4.0) as u32 {
            0 => Vector3::new(0.75, 2.75, 48.0),
            1 => Vector3::new(0.75, 72.0, 4.625),
            2 => Vector3::new(0.75, 0.75, 8.0),
            _ => Vector3::from_fn(|_, _| self.between(0.3, 12.0)),
        };
        let turn = match (self.next() * 3.0) as u32 {
            0 => UnitQuaternion::identity(),
            1 => UnitQuaternion::from_axis_angle(&Vector3::z_axis(), self.between(0.0, 3.0)),
            _ => UnitQuaternion::from_scaled_axis(self.direction() * self.between(0.0, 3.0)),
        };
        // Slide the stick along itself, so that its ends are met as often as its middle.
        let slide = half.component_mul(&Vector3::from_fn(|_, _| self.between(-1.1, 1.1)));
        Body::Cuboid { pose: Isometry3::from_parts((self.place(reach) + turn * slide).into(), turn), half }
    }

    fn pipe(&mut self, reach: f64) -> Body {
        let axis = match (self.next() * 4.0) as u32 {
            // 1/4 in a foot.
            0 => Vector3::new(1.0, 0.0, -1.0 / 48.0).normalize(),
            1 => Vector3::z(),
            _ => self.direction(),
        };
        let length = self.between(0.5, 40.0);
        let center = self.place(reach) + axis * length * self.between(-0.6, 0.6);
        Body::Cylinder {
            a: Point3::from(center - axis * length / 2.0),
            b: Point3::from(center + axis * length / 2.0),
            radius_in: self.between(0.5, 2.5),
        }
    }
}

fn sound(body: &Body) -> Solid {
    Solid::new(body).expect("finite, with sizes above zero")
}

fn moved(body: &Body, by: Vector3<f64>) -> Body {
    body.transformed(&Isometry3::from_parts(by.into(), UnitQuaternion::identity()))
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
            (-along).max(along - (b - a).norm()).max(0.0).hypot((off - radius_in).max(0.0))
        }
    }
}

/// The largest n . x over the body.
fn extent(body: &Body, n: &Vector3<f64>) -> f64 {
    match *body {
        Body::Cuboid { pose, half } => {
            let local = pose.rotation.inverse() * n;
            n.dot(&pose.translation.vector) + half.dot(&local.abs())
        }
        Body::Cylinder { a, b, radius_in } => {
            let axis = (b - a).normalize();
            n.dot(&a.coords).max(n.dot(&b.coords)) + radius_in * n.cross(&axis).norm()
        }
    }
}

/// What the second body must move along `n` to leave the first.
fn overlap(first: &Body, second: &Body, n: &Vector3<f64>) -> f64 {
    extent(first, n) + extent(second, &-n)
}

/// Checks one pair; true if it clashes.
#[track_caller]
fn check(first: &Body, second: &Body) -> bool {
    let (one, two) = (sound(first), sound(second));
    let found = one.separation(&two);
    let Separation { distance_in, on_first, on_second } = found;
    let what = || format!("{first:?}\n{second:?}\n{found:?}");
    // Parry's own stopping rule is about 1e-8 of the size.
    let near = 2e-6;

    let swapped = two.separation(&one).distance_in;
    // Only rim against rim of two pipes is sought by descent and may depend on the order.
    assert!(
        (distance_in - swapped).abs() < 1e-8 || distance_in < 0.0 && (distance_in - swapped).abs() < 1e-4,
        "{}\n{swapped}",
        what()
    );

    for clearance_in in [0.0, 0.25] {
        if (distance_in - clearance_in).abs() > near {
            let expected = distance_in < clearance_in;
            assert_eq!(one.within(&two, clearance_in), expected, "{}", what());
            assert_eq!(convex::verdict(first, second, clearance_in), Some(expected), "{}", what());
        }
    }
    let off = outside(first, &on_first).max(outside(second, &on_second));
    assert!(off < 1e-6, "{off}: {}", what());
    let apart = on_first - on_second;
    assert!((apart.norm() - distance_in.abs()).abs() < 1e-7, "{}", what());
    if distance_in > near {
        assert_eq!(convex::verdict(first, second, distance_in - near), Some(false), "{}", what());
        assert_eq!(convex::verdict(first, second, distance_in + near), Some(true), "{}", what());
        false
    } else if distance_in < -near {
        // The planes square to the move that touch the two bodies prove that it frees them.
        let out = apart.normalize();
        let needed = overlap(first, second, &out);
        assert!((needed + distance_in).abs() < 1e-6, "{needed}: {}", what());
        let still_in = moved(second, apart - out * near);
        assert_eq!(convex::verdict(first, &still_in, 0.0), Some(true), "{}", what());
        true
    } else {
        false
    }
}

#[test]
fn boxes_and_pipes_agree_with_an_independent_solver() {
    let mut dice = Dice(1);
    let clashes = (0..20_000).filter(|_| check(&dice.cuboid(6.0), &dice.pipe(6.0))).count();
    assert!((4_000..16_000).contains(&clashes), "{clashes} of 20,000 try one side only");
}

#[test]
fn pipes_agree_with_an_independent_solver() {
    let mut dice = Dice(2);
    let clashes = (0..4_000).filter(|_| check(&dice.pipe(5.0), &dice.pipe(5.0))).count();
    assert!((800..3_200).contains(&clashes), "{clashes} of 4,000 try one side only");
}

/// Framing and drains sit on round numbers, so surfaces are flush, axes cross and rims coincide far more often than
/// chance allows.
#[test]
fn pairs_on_a_lattice_agree_with_an_independent_solver() {
    let mut dice = Dice(6);
    let mut clashes = 0;
    for _ in 0..4_000 {
        let mut quarter = |low: f64, high: f64| (dice.between(low, high) * 4.0).round() / 4.0;
        let mut pipe = || {
            let a = Point3::new(quarter(-4.0, 4.0), quarter(-4.0, 4.0), quarter(-4.0, 4.0));
            let axis = Vector3::ith(((quarter(0.0, 8.0) * 4.0) as usize) % 3, quarter(1.0, 9.0));
            Body::Cylinder { a, b: a + axis, radius_in: quarter(0.5, 2.5) }
        };
        let (first, second) = (pipe(), pipe());
        let at = Isometry3::translation(quarter(-4.0, 4.0), quarter(-4.0, 4.0), quarter(-4.0, 4.0));
        let half = Vector3::new(quarter(0.5, 4.0), quarter(0.5, 4.0), quarter(0.5, 4.0));
        clashes += usize::from(check(&first, &second));
        clashes += usize::from(check(&Body::Cuboid { pose: at, half }, &first));
        clashes +=
            usize::from(check(&Body::Cuboid { pose: at, half }, &Body::Cuboid { pose: at.inverse(), half }));
    }
    assert!((2_400..9_600).contains(&clashes), "{clashes} of 12,000 try one side only");
}

#[test]
fn boxes_agree_with_an_independent_solver() {
    let mut dice = Dice(3);
    let clashes = (0..4_000).filter(|_| check(&dice.cuboid(8.0), &dice.cuboid(8.0))).count();
    assert!((800..3_200).contains(&clashes), "{clashes} of 4,000 try one side only");
}

/// No sampled direction may need a shorter move than the depth found: 2,000 directions, the best two refined.
#[track_caller]
fn check_depth_is_least(dice: &mut Dice, first: &Body, second: &Body, slack_in: f64) -> bool {
    let depth = -sound(first).separation(&sound(second)).distance_in;
    if depth <= 0.0 {
        return false;
    }
    let mut best: Vec<(f64, Vector3<f64>)> =
        (0..2_000).map(|_| dice.direction()).map(|n| (overlap(first, second, &n), n)).collect();
    best.sort_by(|p, q| p.0.total_cmp(&q.0));
    for &(start, n) in best.iter().take(2) {
        let (mut least, mut n, mut step) = (start, n, 0.05);
        while step > 1e-7 {
            let tried = (n + dice.direction() * step).normalize();
            let overlap = overlap(first, second, &tried);
            if overlap < least {
                (least, n) = (overlap, tried);
            } else {
                step *= 0.97;
            }
        }
        assert!(least >= depth - slack_in, "{least} < {depth}: {first:?} {second:?}");
    }
    true
}

#[test]
fn no_direction_leaves_a_box_sooner_than_the_depth() {
    let mut dice = Dice(4);
    let mut clashes = 0;
    for _ in 0..500 {
        let (joist, pipe, other) = (dice.cuboid(5.0), dice.pipe(5.0), dice.cuboid(5.0));
        clashes += usize::from(check_depth_is_least(&mut dice, &joist, &pipe, 1e-9));
        clashes += usize::from(check_depth_is_least(&mut dice, &joist, &other, 1e-9));
    }
    assert!(clashes > 300, "{clashes}");
}

#[test]
fn no_direction_leaves_a_pipe_sooner_than_the_depth() {
    let mut dice = Dice(5);
    let mut clashes = 0;
    for _ in 0..800 {
        let (first, second) = (dice.pipe(4.0), dice.pipe(4.0));
        clashes += usize::from(check_depth_is_least(&mut dice, &first, &second, 1e-6));
    }
    assert!(clashes > 300, "{clashes}");
}

/// Pairs worked by hand, the second pipe's centre line crossing, beside, or in line with the first.
#[test]
fn pipes_in_plain_positions() {
    let pipe = |a: [f64; 3], b: [f64; 3], radius_in| Body::Cylinder { a: a.into(), b: b.into(), radius_in };
    let main = pipe([0.0, 0.0, 0.0], [40.0, 0.0, 0.0], 2.0);
    for (other, expected_in) in [
        // Crossing at right angles, 5 in above: 5 - 2 - 1.
        (pipe([20.0, -9.0, 5.0], [20.0, 9.0, 5.0], 1.0), 2.0),
        // Crossing with the axes meeting: out sideways by 2 + 1.
        (pipe([20.0, -9.0, 0.0], [20.0, 9.0, 0.0], 1.0), -3.0),
        // Side by side, 3.5 in centre to centre.
        (pipe([5.0, 3.5, 0.0], [30.0, 3.5, 0.0], 1.0), 0.5),
        (pipe([5.0, 2.5, 0.0], [30.0, 2.5, 0.0], 1.0), -0.5),
        // In line beyond the flat end.
        (pipe([43.0, 0.0, 0.0], [60.0, 0.0, 0.0], 2.0), 3.0),
        // In line, butted end to end by the same size: touching.
        (pipe([40.0, 0.0, 0.0], [60.0, 0.0, 0.0], 2.0), 0.0),
        // In line, pushed 1.5 in into the end.
        (pipe([38.5, 0.0, 0.0], [60.0, 0.0, 0.0], 2.0), -1.5),
        // In line but offset so that rim looks at rim: 3 along, 4 - 3 across.
        (pipe([43.0, 4.0, 0.0], [60.0, 4.0, 0.0], 1.0), 3.0_f64.hypot(1.0)),
        // A riser standing on the side.
        (pipe([20.0, 0.0, 2.0], [20.0, 0.0, 30.0], 1.0), 0.0),
        (pipe([20.0, 0.0, 1.25], [20.0, 0.0, 30.0], 1.0), -0.75),
    ] {
        for found in [sound(&main).separation(&sound(&other)), sound(&other).separation(&sound(&main))] {
            assert!((found.distance_in - expected_in).abs() < 2e-9, "{found:?} for {expected_in}: {other:?}");
        }
    }
}

#[test]
fn bodies_of_no_size_are_refused() {
    let at = Point3::new(1.0, 2.0, 3.0);
    let up = Point3::new(1.0, 2.0, 9.0);
    for body in [
        Body::Cylinder { a: at, b: at, radius_in: 1.0 },
        Body::Cylinder { a: at, b: up, radius_in: 0.0 },
        Body::Cylinder { a: at, b: up, radius_in: f64::NAN },
        Body::Cylinder { a: at, b: Point3::new(f64::INFINITY, 0.0, 0.0), radius_in: 1.0 },
        Body::Cuboid { pose: Isometry3::identity(), half: Vector3::new(1.0, -1.0, 1.0) },
        Body::Cuboid { pose: Isometry3::translation(f64::NAN, 0.0, 0.0), half: Vector3::new(1.0, 1.0, 1.0) },
    ] {
        assert!(Solid::new(&body).is_err(), "{body:?}");
    }
}
