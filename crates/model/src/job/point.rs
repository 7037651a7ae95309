//! A point on the plan: by x and y, off a wall, or under a fixture.

use super::height::Surface;
use crate::document::{Document, Kind, Node, Reader};
use crate::label::Label;
use crate::units::Length;

variants! {
    /// A point on the plan in words.
    pub enum PlanPoint {
        /// Off the job's zero; written `(x, y)`.
        At {
            /// To the right on the plan.
            x: Length,
            /// Up on the plan.
            y: Length,
        },
        /// Off a wall: so far along it from its first corner, so far out of its face.
        OffWall {
            /// The wall's name.
            wall: Label,
            /// From the wall's `from` corner, along its line.
            along: Length,
            /// Out of that face on the room's side (the left of the line from `from` to `to`); negative on the other.
            out: Length,
            /// The bare stud face or the finished face.
            face: Surface = Surface::Finished,
        },
        /// Where a fixture drains.
        Under {
            /// The fixture's name.
            fixture: Label,
        },
    }
}

/// [`PlanPoint`] as a field: also reads the short form `(x, y)`.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot(pub PlanPoint);

impl Document for Spot {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if let Kind::Tuple(None, _) = node.kind {
            let (x, y) = <(Length, Length)>::read(node, reader)?;
            return Some(Self(PlanPoint::At { x, y }));
        }
        PlanPoint::read(node, reader).map(Self)
    }

    fn write(&self) -> Node {
        match &self.0 {
            PlanPoint::At { x, y } => (*x, *y).write(),
            other => other.write(),
        }
    }
}
