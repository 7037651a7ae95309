//! Says how, where `check` says no. Every plan is a list of [`truefall_model::job::Edit`]s that was applied to a copy of the
//! job, placed and held to all rules; nothing is proposed that was not tried.
//!
//! Nothing is printed, read or written here: `packet` lays plans out, `cli` asks for them.

pub mod trial;
pub mod vents;

pub use trial::{Bench, Refused, Trial, attempt};
