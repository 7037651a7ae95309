//! A bore, and what clashes with wood because no bore can be made for it.

use super::section::Cut;
use nalgebra::Point3;
use truefall_model::framing::member::{Member, MemberId};
use truefall_model::job::Placement;
use truefall_model::place::PartId;
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Angle, Length};

/// What of a part is in the wood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Through {
    /// A pipe's barrel.
    Pipe,
    /// A fitting's hub.
    Hub,
    /// Any other body of a fitting, such as the way between its hubs.
    Fitting,
}

impl std::fmt::Display for Through {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Self::Pipe => "pipe",
            Self::Hub => "hub",
            Self::Fitting => "fitting",
        })
    }
}

/// How the size of a hole is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bit {
    /// The job states it.
    Stated,
    /// The hole usually bored for this pipe.
    Customary,
    /// The smallest bit sold that the part passes.
    Stocked,
    /// No bit is known: the bare outside of the part, which is the least there can be.
    Bare,
}

/// A hole to be drilled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drilled {
    /// Its diameter.
    pub hole: Length,
    /// How that is known.
    pub bit: Bit,
    /// A hole that the job states but that the part does not pass.
    pub refused: Option<Length>,
}

/// A hole or notch in one member.
#[derive(Debug, Clone, PartialEq)]
pub struct Bore {
    /// The placement it was found in.
    pub placement: Placement,
    /// The member cut.
    pub member: MemberId,
    /// The first ply of what stands together with that member; the member itself where it stands alone. The bores of
    /// one passage through several plies have the same.
    pub lead: MemberId,
    /// All parts in the passage, by number.
    pub parts: Vec<PartId>,
    /// The largest of them, which sets the hole.
    pub part: PartId,
    /// What of that part is in the hole.
    pub through: Through,
    /// Outside diameter of that part.
    pub outside: Length,
    /// The hole drilled.
    pub drilled: Drilled,
    /// Where its axis crosses mid-thickness, in job axes.
    pub centre: Point3<f64>,
    /// The same along the member, from its low end: a stud's foot, a plate's or joist's first end.
    pub along: Length,
    /// The same across the member's depth, from its low face: a joist's bottom, the back of a stud or plate.
    pub across: Length,
    /// What it leaves of the section.
    pub cut: Cut,
    /// Between the passage and the square way through the member.
    pub angle: Angle,
    /// It is drilled along the pipe, because the pipe would not pass a hole drilled square.
    pub aslant: bool,
}

/// Which part of a joist's length a cut is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// Over the support at an end.
    End,
    /// Between an end and the middle third.
    Outer,
    /// In the middle third; its edges belong to it.
    Middle,
}

impl Bore {
    /// Where along a joist the bore is, the joist taken as one span from end to end. `seat` is the length of an end
    /// that rests on its support.
    pub fn zone(&self, member: &Member, seat: Length) -> Zone {
        let (half, length) = (self.drilled.hole.to_inches() / 2.0, member.length().to_inches());
        let at = self.along.to_inches();
        let (near, far) = (at - half, at + half);
        if at.min(length - at) <= seat.to_inches() + SLACK {
            Zone::End
        } else if far >= length / 3.0 - SLACK && near <= length * 2.0 / 3.0 + SLACK {
            Zone::Middle
        } else {
            Zone::Outer
        }
    }
}

/// Why no hole or notch makes the passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WhyNot {
    /// It runs along the member, bends inside it or ends in it.
    NoPassage,
    /// The hole would take the whole depth.
    WholeDepth {
        /// That hole.
        hole: Length,
    },
}

/// A part in a member where no single hole or notch lets it through.
#[derive(Debug, Clone, PartialEq)]
pub struct WoodClash {
    /// The placement it was found in.
    pub placement: Placement,
    /// The member.
    pub member: MemberId,
    /// The part deepest in it.
    pub part: PartId,
    /// All parts joined to it that are in the member too, by number.
    pub parts: Vec<PartId>,
    /// The shortest way out of the wood for that part.
    pub depth: Length,
    /// Where, in job axes.
    pub at: Point3<f64>,
    /// Why.
    pub why: WhyNot,
}
