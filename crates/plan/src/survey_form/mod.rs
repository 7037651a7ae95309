//! The survey of a one-bath house as questions in the order one walks it, the answers, and the job they make.
//!
//! Nothing is asked or read here: `cli` asks. Zero is the corner where the wet wall's bare studs meet the left wall's; x goes
//! along the wet wall, y into the room.

mod answers;
mod questions;
mod read;
mod to_job;

pub use answers::{Answers, FileFault, KIND, MEANT_FOR};
pub use questions::{QUESTIONS, Question, Takes, Usual};
pub use read::take;
pub use to_job::{NotMade, Surveyed, to_job};
