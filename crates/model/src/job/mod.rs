//! The job: what the user writes about one house and its rough-in. [`mod@file`] reads and prints it, [`Edit`] changes it.
//!
//! Everything here is as the user said it, in named parts; where it all sits in space is [`crate::place`]'s business.

pub mod accept;
pub mod clock;
pub mod edit;
pub mod file;
pub mod fixture;
pub mod height;
pub mod pipes;
pub mod point;
pub mod survey;

use crate::framing::house::House;
use crate::label::Label;
pub use edit::Edit;

record! {
    /// One house and its rough-in, as a file holds it.
    pub struct Job {
        /// What the job is called, such as the street number.
        name: String,
        /// Anything worth remembering.
        note: Option<String>,
        /// The code profile, such as `irc-2021`.
        code: Label = Label::new("irc-2021"),
        /// The placement on which cut lengths are solved.
        cut_on: Placement = Placement::Drawn,
        /// Figures of the code changed by local amendment.
        local: Vec<accept::Amendment>,
        /// Practices the local official accepts.
        accepted: Vec<accept::Acceptance>,
        /// Floors, walls, joists, roof and what is in the way.
        house: House,
        /// Sinks, closets, tubs and what else drains.
        fixtures: Vec<fixture::Fixture>,
        /// Fittings measured in the hand; they replace the catalog's.
        in_hand: Vec<pipes::InHand>,
        /// Risers, each from its base upwards.
        stacks: Vec<pipes::Stack>,
        /// Everything that leaves a stack or another branch, outwards.
        branches: Vec<pipes::Branch>,
        /// Plates, straps, hangers and what else has been provided.
        provided: Vec<crate::framing::provided::Provided>,
    }
}

choice! {
    /// The two placements of one job.
    pub enum Placement {
        /// Bases plumb, as on paper.
        Drawn = "drawn",
        /// Bases as the survey found them.
        Found = "found",
    }
}
