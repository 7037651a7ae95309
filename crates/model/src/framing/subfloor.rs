//! The subfloor: its outline cut round the floor's openings into rectangles.

use super::build::Site;
use super::joist_run::Rectangle;
use super::member::{Bearing, Member, MemberId, MemberKind};
use super::space::{FloorSpace, posed, turned};
use crate::label::Label;
use nalgebra::{Point2, Point3, Vector3};

/// Lays the sheets; seams between real sheets are not known and not made up.
pub(super) fn lay(site: &mut Site<'_>, space: &FloorSpace, outline: Rectangle) {
    let top = space.rough_z - space.subfloor;
    let sheets = sheets(outline, space.openings.iter().map(|(_, a, b)| (*a, *b)), space.subfloor);
    let many = sheets.len() > 1;
    for (i, (low, high)) in sheets.into_iter().enumerate() {
        let number = if many { format!(" {}", i + 1) } else { String::new() };
        let size = high - low;
        let (short, long) = (size.x.min(size.y), size.x.max(size.y));
        let lengthwise = if size.x >= size.y { Vector3::x() } else { Vector3::y() };
        let middle = nalgebra::center(&low, &high);
        site.push(Member {
            id: MemberId(0),
            label: Label::new(format!("{} subfloor{number}", space.label)),
            kind: MemberKind::Subfloor,
            pose: posed(
                Point3::new(middle.x, middle.y, top + space.subfloor / 2.0),
                turned(-Vector3::z(), lengthwise.cross(&-Vector3::z()), lengthwise),
            ),
            half: Vector3::new(space.subfloor, short, long) / 2.0,
            wall: None,
            floor: Some(space.id),
            bearing: Bearing::No,
            plies: 1,
            along: None,
            flange: None,
            assumed: false,
        });
    }
}

/// The outline cut round the openings into rectangles: whole strips below and above each, then its two sides.
fn sheets(outline: Rectangle, openings: impl Iterator<Item = Rectangle>, thick: f64) -> Vec<Rectangle> {
    if thick <= 0.0 {
        return Vec::new();
    }
    let mut sheets = vec![outline];
    for (from, to) in openings {
        sheets = sheets
            .into_iter()
            .flat_map(|(low, high)| {
                let (from, to) = (from.sup(&low), to.inf(&high));
                if from.x >= to.x || from.y >= to.y {
                    return vec![(low, high)];
                }
                let mut around = vec![
                    (low, Point2::new(high.x, from.y)),
                    (Point2::new(low.x, from.y), Point2::new(from.x, to.y)),
                    (Point2::new(to.x, from.y), Point2::new(high.x, to.y)),
                    (Point2::new(low.x, to.y), high),
                ];
                around.retain(|(a, b)| b.x > a.x && b.y > a.y);
                around
            })
            .collect();
    }
    sheets
}
