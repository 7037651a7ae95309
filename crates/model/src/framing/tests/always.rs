//! What holds of every wall.

use super::house;
use crate::framing::frame::Framed;
use crate::framing::house::{Blocking, House, WallOpening};
use crate::framing::member::Member;
use crate::framing::space::WallSpace;
use crate::label::Label;
use crate::units::Length;
use nalgebra::{Isometry3, Point3, Vector3};
use proptest::prelude::*;

fn length(from: f64, to: f64) -> impl Strategy<Value = Length> {
    // Sixteenths, as a tape reads.
    ((from * 16.0) as i64..=(to * 16.0) as i64).prop_map(|s| Length::inches(s as f64 / 16.0))
}

prop_compose! {
    fn opening(name: &'static str)(
        from in length(-4.0, 200.0), width in length(4.0, 60.0), sill in proptest::option::of(length(2.0, 60.0)),
        head in length(50.0, 96.0), kings in 0_u32..3, jacks in 0_u32..3,
        header_depth in proptest::option::of(length(1.0, 20.0)),
    ) -> WallOpening {
        WallOpening { name: Label::new(name), from, width, sill, head, kings, jacks, header_depth }
    }
}

prop_compose! {
    fn blocking()(
        from in length(-2.0, 100.0), long in length(1.0, 100.0), bottom in length(0.0, 90.0), tall in length(0.5, 12.0),
        depth in proptest::option::of(length(0.5, 4.0)), back in length(0.0, 3.0),
    ) -> Blocking {
        Blocking { from, to: from + long, bottom, tall, depth, back }
    }
}

prop_compose! {
    /// A wall along +x from the job's zero. What doesn't fit is told of and left out, so it may well be senseless.
    fn walled()(
        long in length(3.0, 240.0), depth in length(3.0, 8.0), thick in length(1.5, 2.0),
        spacing in proptest::option::of(length(6.0, 30.0)), first in proptest::option::of(length(0.0, 20.0)),
        studs in proptest::collection::vec(length(0.0, 240.0), 0..12),
        doubled in proptest::collection::vec(length(0.0, 240.0), 0..4),
        one in opening("W1"), two in opening("W2"), blocking in proptest::collection::vec(blocking(), 0..4),
        bottom_plates in 0_u32..3, top_plates in 0_u32..3,
    ) -> House {
        let mut doc = house(
            "(floors: [(name: first, datum: true)],
              walls: [(name: north, floor: first, from: (0, 0), to: (1, 0))])",
        );
        let wall = &mut doc.walls[0];
        wall.to = (long, Length::ZERO);
        (wall.depth, wall.thick, wall.spacing, wall.first) = (depth, thick, spacing, first);
        (wall.bottom_plates, wall.top_plates) = (bottom_plates, top_plates);
        (wall.doubled, wall.blocking) = (studs.iter().copied().step_by(3).chain(doubled).collect(), blocking);
        (wall.studs, wall.openings) = (studs, vec![one, two]);
        doc
    }
}

/// Least and greatest of a member along the wall, out of its face and up from its bottom.
fn in_wall(member: &Member, wall: &WallSpace) -> (Vector3<f64>, Vector3<f64>) {
    let corners = member.corners().map(|c| {
        let (along, out) = wall.measure(c.xy());
        Vector3::new(along, out, c.z - wall.z0)
    });
    corners.iter().fold((corners[0], corners[0]), |(low, high), c| (low.inf(c), high.sup(c)))
}

proptest! {
    /// Every member is inside its wall.
    #[test]
    fn members_stay_in_their_wall(doc in walled()) {
        let framed = Framed::of(&doc).0;
        for wall in &framed.walls {
            for member in &framed.members {
                let (low, high) = in_wall(member, wall);
                let slack = 1.0 / 64.0 + 1e-9;
                prop_assert!(low.x >= -slack && high.x <= wall.length + slack, "{} {low} {high}", member.label);
                prop_assert!(low.y >= -wall.depth - slack && high.y <= slack, "{} {low} {high}", member.label);
                prop_assert!(low.z >= -slack && high.z <= wall.z1 - wall.z0 + slack, "{} {low} {high}", member.label);
            }
        }
    }

    /// No two members of a wall share more than a touch, and no two have one name.
    #[test]
    fn members_do_not_share_space(doc in walled()) {
        let framed = Framed::of(&doc).0;
        for wall in &framed.walls {
            let boxes: Vec<_> = framed.members.iter().map(|m| (m, in_wall(m, wall))).collect();
            for (i, (one, (low, high))) in boxes.iter().enumerate() {
                for (other, (other_low, other_high)) in &boxes[..i] {
                    let shared = high.inf(other_high) - low.sup(other_low);
                    prop_assert!(shared.min() <= 1.0 / 64.0 + 1e-9, "{} and {}: {shared}", one.label, other.label);
                    prop_assert_ne!(&one.label, &other.label);
                }
            }
        }
    }

    /// Turning and moving the wall's line turns and moves its members with it, and changes nothing else.
    #[test]
    fn a_turned_wall_turns_its_members(doc in walled(), angle in -3.2_f64..3.2, x in -200.0_f64..200.0, y in -200.0_f64..200.0) {
        let turn = Isometry3::new(Vector3::new(x, y, 0.0), Vector3::z() * angle);
        let mut turned = doc.clone();
        let wall = &mut turned.walls[0];
        for end in [&mut wall.from, &mut wall.to] {
            let p = turn * Point3::new(end.0.to_inches(), end.1.to_inches(), 0.0);
            *end = (Length::inches(p.x), Length::inches(p.y));
        }
        let (before, after) = (Framed::of(&doc).0, Framed::of(&turned).0);
        prop_assert_eq!(before.members.len(), after.members.len());
        for (one, other) in before.members.iter().zip(&after.members) {
            prop_assert_eq!(&one.label, &other.label);
            prop_assert!((one.half - other.half).norm() < 1e-9);
            for (a, b) in one.corners().iter().zip(other.corners()) {
                prop_assert!((turn * a - b).norm() < 1e-6, "{}", one.label);
            }
        }
    }

    /// Ids are places in the list.
    #[test]
    fn ids_are_places(doc in walled()) {
        let framed = Framed::of(&doc).0;
        for member in &framed.members {
            prop_assert_eq!(framed.member_of(member.id).map(|m| &m.label), Some(&member.label));
        }
    }
}
