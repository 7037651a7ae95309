//! Rows of bores: every hole and notch in wood, and what it leaves.

use super::xyz;
use serde::Serialize;
use truefall_check::bore::{Bore, Shape, Side};
use truefall_model::place::RoughIn;

/// A notch: a hole that is open to one face.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NotchRow {
    /// The open face: `low` is a joist's bottom and the back of a stud or plate, `high` is the other.
    pub from: &'static str,
    /// From the open face to its bottom.
    pub depth: f64,
    /// Along the member.
    pub length: f64,
}

/// One hole or notch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BoreRow {
    /// The member's name.
    pub member: String,
    /// What the member is, such as `joist`.
    pub kind: &'static str,
    /// The diameter drilled.
    pub hole: f64,
    /// The part that sets the hole.
    pub through: String,
    /// What of that part is in the wood: `pipe`, `hub` or `fitting`.
    pub body: String,
    /// All parts in the hole.
    pub parts: Vec<String>,
    /// Where its axis crosses the middle of the member's thickness.
    pub at: [f64; 3],
    /// The same along the member from its low end: a stud's foot, a plate's or joist's first end.
    pub along: f64,
    /// True depth of the member.
    pub depth: f64,
    /// Wood left towards the low face and towards the high face; below zero by how far it breaks through.
    pub edges: [f64; 2],
    /// The notch, where it is one.
    pub notch: Option<NotchRow>,
    /// It breaks through both faces: nothing is left of the member.
    pub severed: bool,
    /// Between the hole and the square way through, degrees.
    pub angle: f64,
    /// The placement.
    pub placement: &'static str,
}

/// One bore; none where its member is not of this frame.
pub fn row(rough_in: &RoughIn, bore: &Bore) -> Option<BoreRow> {
    let member = rough_in.framed.member_of(bore.member)?;
    let label = |part| rough_in.part(part).label.to_string();
    let notch = match bore.cut.shape {
        Shape::Notch { from, depth, length } => Some(NotchRow {
            from: match from {
                Side::Low => "low",
                Side::High => "high",
            },
            depth: depth.to_inches(),
            length: length.to_inches(),
        }),
        Shape::Hole | Shape::Severed => None,
    };
    Some(BoreRow {
        member: member.label.to_string(),
        kind: member.kind.word(),
        hole: bore.drilled.hole.to_inches(),
        through: label(bore.part),
        body: bore.through.to_string(),
        parts: bore.parts.iter().map(|p| label(*p)).collect(),
        at: xyz(bore.centre),
        along: bore.along.to_inches(),
        depth: bore.cut.member_depth.to_inches(),
        edges: [bore.cut.low.to_inches(), bore.cut.high.to_inches()],
        notch,
        severed: bore.cut.shape == Shape::Severed,
        angle: bore.angle.to_degrees(),
        placement: bore.placement.word(),
    })
}
