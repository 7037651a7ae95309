//! Walls against what carpenters commonly do.

use super::{edges, framed, house, member, wall_house};
use crate::framing::frame::Framed;
use crate::framing::lumber_size::true_size;
use crate::framing::member::{Bearing, MemberKind};
use crate::framing::provided::Provided;
use crate::job::height::Height;
use crate::job::point::Spot;
use crate::label::Label;
use crate::units::Length;
use nalgebra::{Point3, Vector2, Vector3};

/// Clear bays between layout studs: 14-1/2 in at 16 on centre, 22-1/2 at 24 (common practice; batts and boxes are
/// made for them).
#[test]
fn clear_bays() {
    for (spacing, bay) in [("16", 14.5), ("24", 22.5)] {
        let studs = edges(&framed(&wall_house(&format!("spacing: \"{spacing}\""))), MemberKind::Stud);
        let inner = &studs[1..studs.len() - 1];
        assert!(inner.len() >= 4, "{studs:?}");
        for pair in inner.windows(2) {
            assert_eq!(pair[1] - pair[0] - 1.5, bay);
        }
    }
}

/// The first stud after the corner has its near edge at 15-1/4, so that the edge of a 48 in sheet falls on the middle
/// of a stud (common practice).
#[test]
fn a_sheet_ends_on_a_stud() {
    let framed = framed(&wall_house("spacing: 16"));
    let studs = edges(&framed, MemberKind::Stud);
    assert_eq!(studs, [0.0, 15.25, 31.25, 47.25, 63.25, 79.25, 95.25, 111.25, 127.25, 142.5]);
    assert_eq!(member(&framed, "north stud 4").centre().x, 48.0);
    assert!(!member(&framed, "north stud 4").assumed);
}

/// Three plates and a precut stud of 92-5/8 make 97-1/8 (common practice, from memory).
#[test]
fn precut_studs() {
    let framed = framed(&wall_house(""));
    assert_eq!(member(&framed, "north stud 1").length(), Length::inches(92.625));
    let top = member(&framed, "north top plate 2").bounds().1.z;
    assert!((top - 97.125).abs() < 1e-9);
    assert!(member(&framed, "north bottom plate 1").bounds().0.z.abs() < 1e-9);
    // Nobody said how the studs stand or whether the wall bears.
    assert!(framed.walls[0].studs_assumed && member(&framed, "north stud 3").assumed);
    assert_eq!(member(&framed, "north stud 3").bearing, Bearing::Assumed);
}

/// 14 in above the finished floor with 3/4 in of floor to come is 14-3/4 above the subfloor (Modern Plumbing, 2015,
/// p. 319).
#[test]
fn heights_off_rough_and_finished() {
    let house = house(
        "(floors: [(name: first, datum: true, build_up: [(what: board, thick: \"1/2\"), (what: tile, thick: \"1/4\")]),
                   (name: cellar, rough: \"-8' 0\")])",
    );
    let framed = framed(&house);
    let z = |text: &str| framed.height(&Height::parse(text).unwrap());
    assert_eq!(z("14 off first finished"), Some(14.75));
    assert_eq!(z("14 3/4 off first rough"), Some(14.75));
    assert_eq!(z("4 below first rough"), Some(-4.0));
    assert_eq!(z("12 off cellar finished"), Some(-84.0));
    assert_eq!(z("12 off attic finished"), None);
}

/// A closet 12 in off a wall with 1/2 in board stands 12-1/2 off the studs (common practice).
#[test]
fn a_point_off_the_finished_wall() {
    let framed = framed(&wall_house("finish: [(what: board, thick: \"1/2\")]"));
    let at = |face: &str| {
        let text = format!("OffWall(wall: north, along: 30, out: 12{face})");
        framed.point(&crate::document::read_text::<Spot>("spot", &text).unwrap().0).unwrap()
    };
    assert_eq!((at("").x, at("").y), (30.0, 12.5));
    assert_eq!(at(", face: rough").y, 12.0);
}

/// Dry dressed sizes of PS 20 (from memory).
#[test]
fn nominal_lumber() {
    let cases = [
        ("2x4", 1.5, 3.5),
        ("2x6", 1.5, 5.5),
        ("2x8", 1.5, 7.25),
        ("2x10", 1.5, 9.25),
        ("2x12", 1.5, 11.25),
        ("1x6", 0.75, 5.5),
        ("4x4", 3.5, 3.5),
        ("4x10", 3.5, 9.25),
        ("6x6", 5.5, 5.5),
        ("6x8", 5.5, 7.5),
    ];
    for (nominal, thick, depth) in cases {
        assert_eq!(true_size(nominal), Some((Length::inches(thick), Length::inches(depth))), "{nominal}");
    }
    for wrong in ["2x7", "8x2", "2 by 4", "2x", "0x4", "-2x4"] {
        assert_eq!(true_size(wrong), None, "{wrong}");
    }
}

/// A 30 in window: the header rests on one jack each side, so it is 33 in; the studs in its way become cripples on
/// the same layout (common practice).
#[test]
fn a_window() {
    let framed = framed(&wall_house(
        "spacing: 16, openings: [(name: W1, from: 40, width: 30, sill: 36, head: 82.5, header_depth: \"5 1/2\")]",
    ));
    assert_eq!(edges(&framed, MemberKind::Jack), [38.5, 70.0]);
    assert_eq!(edges(&framed, MemberKind::King), [37.0, 71.5]);
    let header = member(&framed, "north header W1");
    assert_eq!((header.length(), header.depth()), (Length::inches(33.0), Length::inches(5.5)));
    let sill = member(&framed, "north sill W1");
    assert_eq!((sill.length(), sill.bounds().1.z), (Length::inches(30.0), 36.0));
    assert_eq!(edges(&framed, MemberKind::Cripple), [47.25, 47.25, 63.25, 63.25]);
    assert_eq!(member(&framed, "north cripple W1 below 1").length(), Length::inches(36.0 - 3.0));
    assert_eq!(member(&framed, "north cripple W1 above 2").length(), Length::inches(95.625 - 1.5 - 88.0));
    assert_eq!(member(&framed, "north jack W1 near").bounds().1.z, 82.5);
    assert!(!edges(&framed, MemberKind::Stud).contains(&47.25));
    assert_eq!(member(&framed, "north bottom plate 1").length(), Length::feet(12.0));
}

/// A door cuts the bottom plate, and without a said header the header is taken to fill up to the plates.
#[test]
fn a_door() {
    let framed = framed(&wall_house("spacing: 16, openings: [(name: D1, from: 40, width: 32, head: 82.5)]"));
    assert_eq!(member(&framed, "north bottom plate 1 part 1").bounds().1.x, 40.0);
    assert_eq!(member(&framed, "north bottom plate 1 part 2").bounds().0.x, 72.0);
    assert_eq!(member(&framed, "north header D1").bounds().1.z, 94.125);
    assert_eq!(edges(&framed, MemberKind::Cripple), []);
}

/// Old framing: full 3-5/8 studs, 1-5/8 thick, no two bays alike. What was measured is what stands.
#[test]
fn an_old_wall() {
    let framed = framed(&wall_house(
        "depth: \"3 5/8\", thick: \"1 5/8\", top_plates: 1, height: \"8' 4\", bearing: true,
         studs: [0, \"14 1/8\", \"31 3/4\", \"46 1/2\", \"66\"]",
    ));
    assert_eq!(edges(&framed, MemberKind::Stud), [0.0, 14.125, 31.75, 46.5, 66.0]);
    let stud = member(&framed, "north stud 3");
    assert_eq!((stud.thickness(), stud.depth()), (Length::inches(1.625), Length::inches(3.625)));
    assert_eq!((stud.bearing, stud.assumed), (Bearing::Yes, false));
    // The framing lies on the right of the line: the room is at +y.
    let (low, high) = stud.bounds();
    assert_eq!((low.y, high.y), (-3.625, 0.0));
}

/// Doubling by the house or by what the job provides: two members that touch, each marked.
#[test]
fn doubled_studs() {
    let doc = wall_house("studs: [0, 16, 32, 33.5, \"142 1/2\"], doubled: [16, 32, 142.5]");
    let provided = [Provided::DoubledStud { wall: Label::new("north"), along: Length::ZERO }];
    let (framed, troubles) = Framed::with_provided(&doc, &provided);
    assert_eq!(troubles, []);
    assert_eq!(edges(&framed, MemberKind::Stud), [0.0, 1.5, 16.0, 17.5, 32.0, 33.5, 141.0, 142.5]);
    let studs = || framed.members.iter().filter(|m| m.kind == MemberKind::Stud);
    assert!(studs().all(|m| m.plies == 2));
    assert_eq!(member(&framed, "north stud 2 ply 2").along, Some(Length::inches(17.5)));
    // A ply that stood there already keeps its own number.
    assert_eq!(member(&framed, "north stud 4").along, Some(Length::inches(33.5)));
    assert_eq!(member(&framed, "north stud 5 ply 2").along, Some(Length::inches(141.0)));
}

/// A hole goes through a stud along the wall, through a plate up and down.
#[test]
fn the_way_a_hole_goes() {
    let framed = framed(&wall_house("blocking: [(from: 1.5, to: 40, bottom: 48)]"));
    let stud = member(&framed, "north stud 2");
    assert!((stud.across().into_inner() - Vector3::x()).norm() < 1e-12);
    assert!((stud.deep().into_inner() - Vector3::y()).norm() < 1e-12);
    for label in ["north bottom plate 1", "north top plate 2", "north blocking 1"] {
        let plate = member(&framed, label);
        assert_eq!((plate.thickness(), plate.depth()), (Length::inches(1.5), Length::inches(3.5)), "{label}");
        assert!((plate.across().into_inner() + Vector3::z()).norm() < 1e-12, "{label}");
        assert!((plate.lengthwise().into_inner() - Vector3::x()).norm() < 1e-12, "{label}");
    }
    assert_eq!(edges(&framed, MemberKind::Blocking), [1.5, 16.75, 32.75]);
}

#[test]
fn the_wall_one_faces() {
    let doc = house(
        "(floors: [(name: first, datum: true), (name: second, rough: 110)],
          walls: [(name: south, floor: first, from: (0, 0), to: (120, 0)),
                  (name: east, floor: first, from: (120, 0), to: (120, 96)),
                  (name: north, floor: first, from: (120, 96), to: (0, 96)),
                  (name: over, floor: second, from: (120, 50), to: (0, 50))])",
    );
    let framed = framed(&doc);
    let faced = |x, y, z, hx, hy| {
        framed.wall_facing(Point3::new(x, y, z), Vector2::new(hx, hy)).map(|w| w.label.as_str().to_owned())
    };
    assert_eq!(faced(60.0, 40.0, 20.0, 0.0, 1.0).as_deref(), Some("north"));
    assert_eq!(faced(60.0, 40.0, 120.0, 0.0, 1.0).as_deref(), Some("over"));
    assert_eq!(faced(60.0, 40.0, 20.0, 1.0, 0.1).as_deref(), Some("east"));
    assert_eq!(faced(60.0, 40.0, 20.0, -1.0, 0.0), None);
    // Under the floor the walls above still give the word.
    assert_eq!(faced(60.0, 40.0, -8.0, 0.0, -1.0).as_deref(), Some("south"));
    // A riser that stands in the south wall: out through its back it faces that wall, into the room the north one.
    assert_eq!(faced(60.0, -1.75, 20.0, 0.0, -1.0).as_deref(), Some("south"));
    assert_eq!(faced(60.0, -1.75, 20.0, 0.0, 1.0).as_deref(), Some("north"));
}
