//! Hand-made pipes in hand-made members: what is a bore, how it lies, and what is a clash.
//!
//! Checks are plain geometry on true lumber sizes (American Softwood Lumber Standard PS 20: 2x4 is 1-1/2 x 3-1/2, 2x6
//! 1-1/2 x 5-1/2, 2x10 1-1/2 x 9-1/4) and outside diameters of ASTM D1785 (1-1/2 pipe 1.900, 2 pipe 2.375, 3 pipe 3.500).

use nalgebra::{Isometry3, Point3, Rotation3, UnitQuaternion, Vector3};
use truefall_check::bore::{
    Bit, Drilled, MemberPassages, Occupant, Occupants, Passage, Shape, Side, Through, WhyNot, in_member,
};
use truefall_model::framing::member::{Bearing, Member, MemberId, MemberKind};
use truefall_model::job::Placement;
use truefall_model::label::Label;
use truefall_model::place::PartId;
use truefall_model::solid::Body;
use truefall_model::units::Length;

/// A member whose local x, y, z lie along the given axes, centred on the origin.
fn member(kind: MemberKind, size: [f64; 3], x: Vector3<f64>, y: Vector3<f64>) -> Member {
    let turn = Rotation3::from_basis_unchecked(&[x, y, x.cross(&y)]);
    Member {
        id: MemberId(0),
        label: Label::new("the member"),
        kind,
        pose: Isometry3::from_parts(Vector3::zeros().into(), UnitQuaternion::from_rotation_matrix(&turn)),
        half: Vector3::from(size) / 2.0,
        wall: None,
        floor: None,
        bearing: Bearing::Yes,
        plies: 1,
        along: None,
        flange: None,
        assumed: false,
    }
}

/// A stud with its thickness along x, its depth along y, standing.
fn stud(depth: f64) -> Member {
    member(MemberKind::Stud, [1.5, depth, 92.625], Vector3::x(), Vector3::y())
}

fn body(part: u32, through: Through, a: [f64; 3], b: [f64; 3], outside: f64) -> Occupant {
    let body = Body::Cylinder { a: a.into(), b: b.into(), radius_in: outside / 2.0 };
    Occupant { part: PartId(part), through, existing: false, body }
}

fn pipe(part: u32, a: [f64; 3], b: [f64; 3], outside: f64) -> Occupant {
    body(part, Through::Pipe, a, b, outside)
}

/// The bit is 1/8 in over the outside, so that sums stay plain.
fn eighth_over(passage: &Passage<'_>) -> Drilled {
    Drilled { hole: passage.outside + Length::inches(0.125), bit: Bit::Customary, refused: None }
}

fn found(member: &Member, all: Vec<Occupant>, joints: &[(u32, u32)]) -> MemberPassages {
    let joints = joints.iter().map(|(a, b)| (PartId(*a), PartId(*b)));
    let occupants = Occupants::new(all, joints);
    let near: Vec<usize> = (0..occupants.all.len()).collect();
    in_member(Placement::Drawn, member, &occupants, &near, &eighth_over)
}

#[track_caller]
fn near(got: Length, want: f64) {
    assert!((got.to_inches() - want).abs() < 1e-9, "got {got:?}, want {want}");
}

#[test]
fn a_pipe_through_the_middle_of_a_stud_is_one_bore() {
    let got = found(&stud(3.5), vec![pipe(0, [-20.0, 0.0, 10.0], [20.0, 0.0, 10.0], 1.875)], &[]);
    assert_eq!(got.clashes, []);
    let [bore] = &got.bores[..] else { panic!("{got:?}") };
    assert_eq!(bore.cut.shape, Shape::Hole);
    near(bore.drilled.hole, 2.0);
    near(bore.cut.low, 0.75);
    near(bore.cut.high, 0.75);
    near(bore.along, 92.625 / 2.0 + 10.0);
    near(bore.across, 1.75);
    assert!((bore.centre - Point3::new(0.0, 0.0, 10.0)).norm() < 1e-9);
    assert!(!bore.aslant);
}

#[test]
fn the_edges_are_told_by_side() {
    let got = found(&stud(3.5), vec![pipe(0, [-20.0, 0.5, 0.0], [20.0, 0.5, 0.0], 1.875)], &[]);
    near(got.bores[0].cut.low, 1.25);
    near(got.bores[0].cut.high, 0.25);
    assert_eq!(got.bores[0].cut.shape, Shape::Hole);
}

#[test]
fn a_hole_open_at_a_face_is_a_notch_from_there() {
    let got = found(&stud(5.5), vec![pipe(0, [-20.0, 2.25, 0.0], [20.0, 2.25, 0.0], 1.875)], &[]);
    let [bore] = &got.bores[..] else { panic!("{got:?}") };
    let Shape::Notch { from, depth, length } = bore.cut.shape else { panic!("{bore:?}") };
    assert_eq!(from, Side::High);
    near(depth, 1.5);
    near(length, 2.0);
}

#[test]
fn a_pipe_that_grazes_the_face_by_a_touch_is_nothing() {
    // Axis 1.75 + 0.9375 - 1/64 from the middle: the pipe is 1/64 in deep.
    let off = 1.75 + 0.9375 - 1.0 / 64.0;
    let got = found(&stud(3.5), vec![pipe(0, [-20.0, off, 0.0], [20.0, off, 0.0], 1.875)], &[]);
    assert_eq!(got, MemberPassages::default());
}

#[test]
fn a_hole_as_deep_as_the_stud_is_a_clash() {
    // 3 in pipe in a 2x4: 3.500 in 3-1/2.
    let got = found(&stud(3.5), vec![pipe(0, [-20.0, 0.0, 0.0], [20.0, 0.0, 0.0], 3.5)], &[]);
    assert_eq!(got.bores, []);
    let [clash] = &got.clashes[..] else { panic!("{got:?}") };
    let WhyNot::WholeDepth { hole } = clash.why else { panic!("{clash:?}") };
    near(hole, 3.625);
}

#[test]
fn a_plate_severed_is_cut_not_in_the_way() {
    // x down, y into the room, z along the wall.
    let plate = member(MemberKind::TopPlate, [1.5, 3.5, 120.0], -Vector3::z(), Vector3::y());
    let got = found(&plate, vec![pipe(0, [3.0, 0.0, -20.0], [3.0, 0.0, 20.0], 3.5)], &[]);
    assert_eq!(got.clashes, []);
    assert_eq!(got.bores[0].cut.shape, Shape::Severed);
    near(got.bores[0].cut.taken(), 3.5);
}

#[test]
fn a_pipe_up_through_a_plate_is_a_bore_and_one_along_it_a_clash() {
    let plate = member(MemberKind::BottomPlate, [1.5, 5.5, 120.0], -Vector3::z(), Vector3::y());
    let up = found(&plate, vec![pipe(0, [3.0, 0.0, -20.0], [3.0, 0.0, 20.0], 2.375)], &[]);
    assert_eq!((up.bores.len(), up.clashes.len()), (1, 0));
    let along = found(&plate, vec![pipe(0, [-30.0, 0.0, 0.0], [30.0, 0.0, 0.0], 2.375)], &[]);
    assert_eq!((along.bores.len(), along.clashes.len()), (0, 1));
}

#[test]
fn a_pipe_lengthwise_in_a_stud_is_a_clash_with_its_way_out() {
    let got = found(&stud(3.5), vec![pipe(0, [0.25, 0.0, -60.0], [0.25, 0.0, 60.0], 2.375)], &[]);
    assert_eq!(got.bores, []);
    let [clash] = &got.clashes[..] else { panic!("{got:?}") };
    assert_eq!(clash.why, WhyNot::NoPassage);
    // Sideways: half of 1-1/2, half of 2.375, less the 1/4 it is off the middle.
    assert!((clash.depth.to_inches() - (0.75 + 1.1875 - 0.25)).abs() < 1e-6, "{clash:?}");
}

#[test]
fn a_pipe_from_front_to_back_of_a_stud_is_a_clash() {
    let got = found(&stud(3.5), vec![pipe(0, [0.0, -20.0, 0.0], [0.0, 20.0, 0.0], 1.9)], &[]);
    assert_eq!((got.bores.len(), got.clashes.len()), (0, 1));
}

#[test]
fn a_pipe_that_ends_in_the_wood_is_a_clash() {
    let got = found(&stud(3.5), vec![pipe(0, [-20.0, 0.0, 0.0], [0.0, 0.0, 0.0], 1.9)], &[]);
    assert_eq!((got.bores.len(), got.clashes.len()), (0, 1));
}

/// A pipe and, over its end from x = 0.25 on, the hub of a fitting.
fn hub_and_pipe() -> Vec<Occupant> {
    vec![
        pipe(4, [-20.0, 0.0, 0.0], [1.0, 0.0, 0.0], 1.9),
        body(7, Through::Hub, [0.25, 0.0, 0.0], [1.0, 0.0, 0.0], 2.25),
        body(7, Through::Fitting, [1.0, 0.0, 0.0], [2.0, 0.0, 0.0], 1.9),
    ]
}

#[test]
fn a_pipe_and_a_hub_in_one_passage_are_one_bore_as_large_as_the_hub() {
    let got = found(&stud(5.5), hub_and_pipe(), &[(4, 7)]);
    assert_eq!(got.clashes, []);
    let [bore] = &got.bores[..] else { panic!("{got:?}") };
    assert_eq!(bore.parts, [PartId(4), PartId(7)]);
    assert_eq!((bore.part, bore.through), (PartId(7), Through::Hub));
    near(bore.drilled.hole, 2.375);
}

#[test]
fn without_their_joint_the_two_only_meet_there() {
    let got = found(&stud(5.5), hub_and_pipe(), &[]);
    // The pipe alone goes through; the hub is another's and ends in the wood.
    assert_eq!((got.bores.len(), got.clashes.len()), (1, 1));
}

#[test]
fn a_bend_inside_the_stud_is_one_clash_and_no_bore() {
    let all = vec![
        pipe(0, [-20.0, 0.0, 0.0], [0.0, 0.0, 0.0], 1.9),
        pipe(1, [0.0, 0.0, 0.0], [0.0, 0.0, 20.0], 1.9),
    ];
    let got = found(&stud(5.5), all, &[(0, 1)]);
    assert_eq!((got.bores.len(), got.clashes.len()), (0, 1));
    assert_eq!(got.clashes[0].parts, [PartId(0), PartId(1)]);
}

#[test]
fn a_branch_off_a_pipe_that_goes_through_leaves_only_the_clash() {
    let all = vec![
        pipe(0, [-20.0, 0.0, 0.0], [20.0, 0.0, 0.0], 1.9),
        body(1, Through::Fitting, [0.0, 0.0, 0.0], [0.0, 0.0, 5.0], 1.9),
    ];
    let got = found(&stud(5.5), all, &[(0, 1)]);
    assert_eq!((got.bores.len(), got.clashes.len()), (0, 1));
}

#[test]
fn existing_pipe_makes_no_bore() {
    let mut old = pipe(0, [-20.0, 0.0, 0.0], [20.0, 0.0, 0.0], 1.9);
    old.existing = true;
    assert_eq!(found(&stud(3.5), vec![old], &[]), MemberPassages::default());
}

// A straight bore through 1-1/2 in of wood at 1/4 in per ft moves 1/32 in: the play of 1/16 in takes it, so the hole is
// square and the edges are those of the level pipe.
#[test]
fn a_pipe_on_grade_goes_through_a_square_hole() {
    let joist = member(MemberKind::Joist, [1.5, 9.25, 144.0], Vector3::x(), Vector3::z());
    let fall = 20.0 / 48.0;
    let got = found(&joist, vec![pipe(0, [-20.0, 0.0, -fall], [20.0, 0.0, fall], 2.375)], &[]);
    let [bore] = &got.bores[..] else { panic!("{got:?}") };
    assert!(!bore.aslant);
    near(bore.cut.width, 2.5);
    near(bore.cut.low, 9.25 / 2.0 - 1.25);
    assert!((bore.angle.to_degrees() - (1.0_f64 / 48.0).atan().to_degrees()).abs() < 1e-9);
}

// At 45 degrees across the depth the section of a round hole is an ellipse longer by the square root of 2, and on its
// way from mid-thickness to a face the axis moves as far as half the thickness.
#[test]
fn a_hole_drilled_aslant_takes_more() {
    let joist = member(MemberKind::Joist, [1.5, 9.25, 144.0], Vector3::x(), Vector3::z());
    let got = found(&joist, vec![pipe(0, [-20.0, 0.0, -20.0], [20.0, 0.0, 20.0], 1.875)], &[]);
    let [bore] = &got.bores[..] else { panic!("{got:?}") };
    assert!(bore.aslant);
    near(bore.cut.width, 2.0 * 2.0_f64.sqrt());
    near(bore.cut.low, 9.25 / 2.0 - 2.0_f64.sqrt() - 0.75);
}

// The same slant along the joist leaves the depth taken as it is.
#[test]
fn a_slant_along_the_member_takes_no_more_of_its_depth() {
    let joist = member(MemberKind::Joist, [1.5, 9.25, 144.0], Vector3::x(), Vector3::z());
    let got = found(&joist, vec![pipe(0, [-20.0, -20.0, 0.0], [20.0, 20.0, 0.0], 1.875)], &[]);
    near(got.bores[0].cut.width, 2.0);
    near(got.bores[0].cut.low, 9.25 / 2.0 - 1.0);
}

#[test]
fn beyond_45_degrees_it_is_no_passage() {
    let joist = member(MemberKind::Joist, [1.5, 9.25, 144.0], Vector3::x(), Vector3::z());
    let got = found(&joist, vec![pipe(0, [-20.0, -21.0, 0.0], [20.0, 21.0, 0.0], 1.875)], &[]);
    assert_eq!((got.bores.len(), got.clashes.len()), (0, 1));
}

#[test]
fn a_bend_that_goes_down_through_the_subfloor_is_a_hole_there() {
    let sheet = member(MemberKind::Subfloor, [0.75, 96.0, 120.0], -Vector3::z(), Vector3::y());
    let all = vec![
        pipe(0, [0.0, 0.0, 0.0], [0.0, 0.0, 5.0], 3.5),
        body(1, Through::Fitting, [0.0, 0.0, 0.1], [2.0, 0.0, -1.5], 3.5),
    ];
    let got = found(&sheet, all, &[(0, 1)]);
    assert_eq!((got.bores.len(), got.clashes.len()), (1, 0));
    assert_eq!(got.bores[0].parts, [PartId(0), PartId(1)]);
}
