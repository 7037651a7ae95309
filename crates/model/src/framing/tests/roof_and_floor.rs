//! Joists, subfloor, roof, loose members and what is in the way.

use super::{edges, framed, house, member};
use crate::framing::member::{Bearing, MemberKind};
use crate::units::Length;
use nalgebra::{Point3, Vector3};

/// 2x8 joists at 16 on centre: clear bay 14-1/2 and 7-1/4 deep, their top under a 3/4 in subfloor (common practice).
#[test]
fn joists_hang_under_the_subfloor() {
    let framed = framed(&house(
        "(floors: [(name: first, datum: true, outline: ((0, 0), (144, 96)),
                    joists: Some((size: \"2x8\", runs: y, spacing: 16, first: 10)))])",
    ));
    let joists = edges(&framed, MemberKind::Joist);
    assert_eq!(joists, [10.0, 26.0, 42.0, 58.0, 74.0, 90.0, 106.0, 122.0, 138.0]);
    assert!(joists.windows(2).all(|pair| pair[1] - pair[0] - 1.5 == 14.5));
    let (low, high) = member(&framed, "first joist 2").bounds();
    assert!((low - Point3::new(26.0, 0.0, -8.0)).norm() < 1e-9, "{low}");
    assert!((high - Point3::new(27.5, 96.0, -0.75)).norm() < 1e-9, "{high}");
    assert_eq!(framed.floors[0].joists_bottom_z, Some(-8.0));
}

/// Mixed spacing as measured, rims, and a stair that cuts the joists in its way.
#[test]
fn a_stair_cuts_joists_and_subfloor() {
    let framed = framed(&house(
        "(floors: [(name: first, datum: true, outline: ((0, 0), (144, 96)),
                    joists: Some((depth: \"7 1/2\", thick: \"1 3/4\", runs: x, rim: \"1 1/2\",
                                  edges: [0, \"17 1/4\", 30, 52, 71])),
                    openings: [(name: stair, from: (100, 60), to: (60, 25))])])",
    ));
    let labels: Vec<&str> =
        framed.members.iter().filter(|m| m.kind == MemberKind::Joist).map(|m| m.label.as_str()).collect();
    let part =
        ["first joist 3 part 1", "first joist 3 part 2", "first joist 4 part 1", "first joist 4 part 2"];
    assert_eq!(labels, [&["first joist 1", "first joist 2"][..], &part[..], &["first joist 5"][..]].concat());
    assert_eq!(member(&framed, part[0]).bounds().0.x, 1.5);
    assert_eq!(member(&framed, part[0]).bounds().1.x, 60.0);
    assert_eq!(member(&framed, part[1]).bounds().1.x, 142.5);
    let rim = member(&framed, "first rim 2");
    assert_eq!((rim.bounds().0.x, rim.bounds().1.x), (142.5, 144.0));
    assert_eq!((rim.thickness(), rim.length()), (Length::inches(1.5), Length::inches(96.0)));

    let sheets = || framed.members.iter().filter(|m| m.kind == MemberKind::Subfloor);
    let area: f64 = sheets().map(|m| 4.0 * m.half.y * m.half.z).sum();
    assert!((area - (144.0 * 96.0 - 40.0 * 35.0)).abs() < 1e-9);
    assert!(sheets().all(|m| m.thickness() == Length::inches(0.75) && (m.bounds().1.z).abs() < 1e-9));
}

/// An I-joist's box is as wide as its flange and tells how tall the flange is.
#[test]
fn i_joists() {
    let framed = framed(&house(
        "(floors: [(name: first, datum: true, outline: ((0, 0), (48, 96)),
                    joists: Some((kind: i_joist, depth: \"9 1/2\", flange: (\"1 1/2\", \"2 5/16\"), runs: y)))])",
    ));
    let joist = member(&framed, "first joist 1");
    assert_eq!((joist.kind, joist.thickness()), (MemberKind::IJoist, Length::inches(2.3125)));
    assert_eq!((joist.flange, joist.assumed), (Some(Length::inches(1.5)), true));
}

/// 6 in 12: over 12 ft of run the roof rises 6 ft, and a common rafter is 13.42 in a foot of run (the rafter table
/// of a framing square).
#[test]
fn a_roof_of_six_in_twelve() {
    let framed = framed(&house(
        "(floors: [(name: first, datum: true)],
          roof: [(name: \"south slope\", eave: ((0, 0), (240, 0)), height: \"108 off first rough\", pitch: 6,
                  run: \"12'\", rafters: Some((size: \"2x6\", spacing: 24)))])",
    ));
    let roof = &framed.roof[0];
    assert_eq!(roof.height_at(100.0, 0.0), Some(108.0));
    assert_eq!(roof.height_at(100.0, 144.0), Some(180.0));
    assert_eq!(roof.height_at(100.0, 145.0), None);
    assert_eq!(roof.height_at(-1.0, 20.0), None);
    assert_eq!(
        framed.roof_over(10.0, 24.0).map(|(r, z)| (r.label.as_str(), z)),
        Some(("south slope", 120.0))
    );
    let rafter = member(&framed, "south slope rafter 3");
    assert!((rafter.length().to_inches() / 12.0 - 13.42).abs() < 0.005);
    assert_eq!(rafter.along, Some(Length::inches(48.0)));
    // Its top edge lies 3/4 in under the outer surface, square to the roof.
    let top = rafter.centre() + roof.normal * rafter.half.y;
    assert!(((roof.point - top).dot(&roof.normal) - 0.75).abs() < 1e-9);
    assert!((rafter.deep().into_inner() - roof.normal).norm() < 1e-12);
}

#[test]
fn loose_members_lie_as_their_kind_does() {
    let framed = framed(&house(
        "(floors: [(name: first, datum: true)],
          members: [(name: girder, kind: beam, from: (0, 40, -16), size: (144, 4.5, 9.25), bearing: true, plies: 3),
                    (name: post, kind: post, from: (70, 40, -96), size: (5.5, 3.5, 80)),
                    (name: mudsill, kind: bottom_plate, from: (0, 0, -2), size: (3.5, 120, 1.5))])",
    ));
    let girder = member(&framed, "girder");
    assert_eq!(
        (girder.thickness(), girder.depth(), girder.plies),
        (Length::inches(4.5), Length::inches(9.25), 3)
    );
    assert_eq!(girder.bounds(), (Point3::new(0.0, 40.0, -16.0), Point3::new(144.0, 44.5, -6.75)));
    let post = member(&framed, "post");
    assert_eq!(
        (post.thickness(), post.depth(), post.length()),
        (Length::inches(3.5), Length::inches(5.5), Length::inches(80.0))
    );
    assert_eq!(post.bearing, Bearing::Assumed);
    let sill = member(&framed, "mudsill");
    assert_eq!((sill.thickness(), sill.length()), (Length::inches(1.5), Length::inches(120.0)));
    assert_eq!(sill.bounds(), (Point3::new(0.0, 0.0, -2.0), Point3::new(3.5, 120.0, -0.5)));
}

/// A cabinet let 3-1/2 in into the wall and standing 1 in proud of the studs; a duct in the open.
#[test]
fn what_is_in_the_way() {
    let framed = framed(&house(
        "(floors: [(name: first, datum: true, build_up: [(what: tile, thick: 1)])],
          walls: [(name: east, floor: first, from: (96, 0), to: (96, 120), exterior: true,
                   finish: [(what: board, thick: \"1/2\")], finish_back: [(what: siding, thick: 1)])],
          windows: [(name: W1, wall: east, along: 60, width: 30, sill: 40, head: 80)],
          insulation: [(wall: east)],
          keep_outs: [(name: \"medicine cabinet\", kind: cabinet,
                       in_wall: Some((wall: east, along: 20, width: 14, bottom: \"48 off first finished\", tall: 24, out: 1))),
                      (name: duct, kind: duct, from: Some((10, 10, -20)), size: Some((8, 100, 8)))])",
    ));
    // Going up the plan, the room is at -x.
    let cabinet = &framed.keep_outs[0];
    let at = cabinet.pose * Point3::from(cabinet.half);
    assert!((at - Point3::new(95.0, 34.0, 73.0)).norm() < 1e-9, "{at}");
    let other = cabinet.pose * Point3::from(-cabinet.half);
    assert!((other - Point3::new(99.5, 20.0, 49.0)).norm() < 1e-9, "{other}");
    assert_eq!(framed.keep_outs[1].pose.translation.vector, Vector3::new(14.0, 60.0, -16.0));
    let window = &framed.windows[0];
    assert!((window.half - Vector3::new(15.0, 2.5, 20.0)).norm() < 1e-9);
    assert!((window.pose.translation.vector - Vector3::new(98.0, 75.0, 60.0)).norm() < 1e-9);
    assert_eq!(framed.walls[0].insulated, Some(3.5));
}
