//! Fixtures: where they usually want their pipe. What a job leaves out is taken from here and shown as assumed.

use super::figure::Figure;
use crate::label::Label;
use crate::units::{Length, NominalSize};

record! {
    /// The usual rough-in of one kind of fixture. Heights are off its own finished floor.
    pub struct RoughIn {
        /// The kind's word in a job, such as `kitchen_sink`.
        kind: Label,
        /// Height of the drain: of the stub's centre through a wall; of the ring's underside on a flange; of the
        /// trap's weir under a standpipe; else of where the fixture's own waste takes the pipe.
        outlet: Figure<Length>,
        /// Size of the trap, or of the closet's outlet.
        trap: Figure<NominalSize>,
        /// Flood level.
        rim: Figure<Length>,
        /// The lowest that the rim is usually set, where that is for the plumber to choose.
        rim_least: Option<Figure<Length>>,
        /// The highest.
        rim_most: Option<Figure<Length>>,
        /// From the rim up to the middle of the box it stands in.
        box_over_rim: Option<Figure<Length>>,
        /// Trap weir to the finished wall, for a trap hung at finish.
        weir_out: Option<Figure<Length>>,
        /// How far off the pipe may land, either way.
        tolerance: Figure<Length>,
    }
}
