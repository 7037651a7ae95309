//! Box and pipe pairs on which general-purpose solvers have been measured wrong, and which can be checked by hand:
//! boxes along the axes, pipes along one axis.

use nalgebra::{Isometry3, Point3, Vector3};
use truefall_check::query::Solid;
use truefall_model::solid::Body;

fn sound(body: &Body) -> Solid {
    Solid::new(body).expect("finite, with sizes above zero")
}

#[track_caller]
fn check(half: [f64; 3], a: [f64; 3], b: [f64; 3], radius_in: f64, expected_in: f64) {
    let joist = sound(&Body::Cuboid { pose: Isometry3::identity(), half: Vector3::from(half) });
    for (a, b) in [(a, b), (b, a)] {
        let pipe = sound(&Body::Cylinder { a: Point3::from(a), b: Point3::from(b), radius_in });
        for found in [joist.separation(&pipe).distance_in, pipe.separation(&joist).distance_in] {
            assert!((found - expected_in).abs() < 1e-9, "{found} for {expected_in}");
        }
        // Just short of the true distance no, just beyond it yes.
        if expected_in >= 0.0 {
            assert!(joist.within(&pipe, expected_in + 1e-9) && pipe.within(&joist, expected_in + 1e-9));
        }
        if expected_in > 0.0 {
            assert!(!joist.within(&pipe, expected_in - 1e-9) && !pipe.within(&joist, expected_in - 1e-9));
        }
        if expected_in < 0.0 {
            assert!(joist.within(&pipe, 0.0));
        }
        assert!(!joist.within(&pipe, -1.0), "nothing is within a negative clearance");
    }
}

// The pipe passes the long edge y = 2.75, z = -0.75: hypot(3.59375 - 2.75, 1.5 - 0.75) less the radius.
#[test]
fn a_pipe_beside_the_long_edge_of_a_flat_board() {
    let expected = 0.84375_f64.hypot(0.75) - 0.84375;
    assert!((expected - 0.285149).abs() < 1e-6);
    check([72.0, 2.75, 0.75], [-9.28125, 3.59375, -1.5], [3.28125, 3.59375, -1.5], 0.84375, expected);
}

// 2.84375 - 1.75 - 0.84375.
#[test]
fn b_pipe_beside_the_face_of_a_stud() {
    check([0.75, 1.75, 48.0], [-54.125, 2.84375, -47.15625], [52.5, 2.84375, -47.15625], 0.84375, 0.25);
}

// Sideways out of the pipe: 2.25 + 0.75. Endways would be 8 - 0.78125.
#[test]
fn c_pipe_end_swallows_half_a_block() {
    check([0.75, 0.75, 8.0], [0.0, 0.0, -88.71875], [0.0, 0.0, -0.78125], 2.25, -3.0);
}

// Sideways 1.3125 + 0.75.
#[test]
fn d_riser_inside_a_joist() {
    check([0.75, 72.0, 4.625], [0.0, 0.0, -62.71875], [0.0, 0.0, 41.34375], 1.3125, -2.0625);
}

// The axis runs along the bottom edge's height: down by the radius, 1.75.
#[test]
fn e_pipe_across_the_end_of_a_block() {
    check([0.75, 0.75, 8.0], [0.75, -50.34375, -8.0], [0.75, 50.34375, -8.0], 1.75, -1.75);
}

// 5.8125 - 4.625 - 1.1875 = 0: hung exactly against the underside of the joist.
#[test]
fn f_pipe_hung_against_a_joist() {
    check([0.75, 72.0, 4.625], [-83.3125, 26.375, -5.8125], [11.8125, 26.375, -5.8125], 1.1875, 0.0);
}

// Straight through a stud: least out endways in z (48 - 24.875 + 1.75 = 24.875) or in y, 1.75 + 1.75 = 3.5.
#[test]
fn g_pipe_straight_through_a_stud() {
    check([0.75, 1.75, 48.0], [-42.3125, 0.0, -24.875], [42.3125, 0.0, -24.875], 1.75, -3.5);
}

// 2.0625 - 0.75 - 1.3125 = 0: resting on the board.
#[test]
fn h_pipe_resting_on_a_board() {
    check([72.0, 2.75, 0.75], [-51.875, -1.0625, 2.0625], [51.875, -1.0625, 2.0625], 1.3125, 0.0);
}
