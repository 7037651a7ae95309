//! What placement can't make as the job asks: part of the result, told by the rules; and faults of the job itself.

use super::part::{JointId, PartId};
use crate::label::Label;
use crate::units::{Angle, Length};

/// A fault of the job that leaves nothing to place: an unknown name, a port used twice.
#[derive(Debug, Clone, PartialEq)]
pub struct JobFault {
    /// The way to the field, such as `stacks[0].up[2].fit`.
    pub path: String,
    /// What was read and what is allowed.
    pub message: String,
    /// The nearest known name.
    pub help: Option<String>,
}

/// Something asked for that rigid parts don't make.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// A piece shorter than the two sockets it goes into.
    ShortPiece {
        /// The piece.
        piece: PartId,
        /// Its solved cut length; may be negative.
        cut: Length,
        /// The make-up piece: both socket depths.
        least: Length,
    },
    /// A target grade that asks more of a joint than it can be set to.
    Seat {
        /// The joint.
        joint: JointId,
        /// What the target needs.
        wanted: Angle,
        /// What the joint takes.
        seat: Angle,
    },
    /// A corner that the fitting there does not make.
    Corner {
        /// The fitting.
        part: PartId,
        /// The turn the waypoints ask for.
        needs: Angle,
        /// The turn the fitting makes.
        makes: Angle,
    },
    /// A correction that asks more of a joint than it may take.
    Correction {
        /// The joint.
        joint: JointId,
        /// What is asked.
        asks: Angle,
        /// What it may take.
        limit: Angle,
    },
    /// The survey's readings don't lie on one line.
    CrookedSurvey {
        /// The stack.
        stack: Label,
        /// Index of the string.
        string: usize,
        /// Chance of so bad a fit by reading errors alone.
        chance: f64,
        /// The reading farthest off.
        worst: usize,
    },
    /// Existing work that was not measured.
    Unread {
        /// The stack.
        stack: Label,
        /// What to measure.
        measure: String,
    },
}
