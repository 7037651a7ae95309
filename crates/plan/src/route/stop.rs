//! What stands in a leg's way, with its numbers.

use truefall_model::framing::member::MemberId;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// Why a leg can't be run where it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Stop {
    /// A hole takes more of a member than is allowed.
    HoleTooLarge {
        /// The member.
        member: MemberId,
        /// Its name.
        label: Label,
        /// The hole.
        hole: Length,
        /// The most that is allowed.
        most: Length,
    },
    /// A hole leaves too little wood at an edge.
    EdgeTooThin {
        /// The member.
        member: MemberId,
        /// Its name.
        label: Label,
        /// Wood left.
        left: Length,
        /// Wood that must be left.
        least: Length,
    },
    /// No single hole lets it through: it runs along the member, bends in it or ends in it.
    InWood {
        /// The member.
        member: MemberId,
        /// Its name.
        label: Label,
        /// How deep it is in the wood.
        deep: Length,
    },
    /// The member may not be cut at all.
    NeverCut {
        /// The member.
        member: MemberId,
        /// Its name.
        label: Label,
    },
    /// It is in a keep-out.
    KeepOut {
        /// Its name.
        label: Label,
        /// How deep.
        deep: Length,
    },
    /// It is in another pipe or fitting.
    Pipe {
        /// The part's name.
        label: Label,
        /// How deep.
        deep: Length,
    },
    /// It sticks out of the framing it runs in.
    Proud {
        /// The wall.
        wall: Label,
        /// How far.
        by: Length,
    },
    /// It can't be slid into its holes, whole or in pieces.
    TooLong {
        /// Its length.
        piece: Length,
        /// The longest that goes in between closed bays.
        longest: Length,
    },
    /// It runs in the open room.
    InRoom {
        /// The floor of that room.
        floor: Label,
    },
}

impl Stop {
    /// What it counts where ways through stops are asked for: wood can be doubled or furred, a duct or pipe hardly.
    pub fn points(&self) -> f64 {
        match self {
            Self::HoleTooLarge { .. } | Self::EdgeTooThin { .. } | Self::InWood { .. } => 600.0,
            _ => 1000.0,
        }
    }
}

impl std::fmt::Display for Stop {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::HoleTooLarge { label, hole, most, .. } => {
                write!(f, "{label}: a hole of {hole}, at most {:.3} in", most.to_inches())
            }
            Self::EdgeTooThin { label, left, least, .. } => write!(
                f,
                "{label}: the hole leaves {:.3} in at its edge, needs {:.3} in",
                left.to_inches(),
                least.to_inches()
            ),
            Self::InWood { label, deep, .. } => {
                write!(f, "{label}: {deep} deep in the wood, and no single hole lets it through")
            }
            Self::NeverCut { label, .. } => write!(f, "{label}: may not be cut"),
            Self::KeepOut { label, deep } => write!(f, "{label}: {deep} deep in what is kept free"),
            Self::Pipe { label, deep } => write!(f, "{label}: {deep} deep in that pipe"),
            Self::Proud { wall, by } => write!(f, "{wall}: sticks out {by} past the framing"),
            Self::TooLong { piece, longest } => write!(
                f,
                "the pipe is {piece} long; slid in straight it may be {longest} between closed bays, and no bay has room for a coupling that helps"
            ),
            Self::InRoom { floor } => write!(f, "in the open room over {floor}"),
        }
    }
}
