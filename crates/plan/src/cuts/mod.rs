//! The cut list: every piece of pipe in the order it goes on, with what stands at its ends and how it is marked.
//!
//! Lengths are those of the placement the job is cut on, unrounded; [`Cut::on_tape`] is what is set on the saw. A cut list
//! proposes nothing and changes nothing.

mod end;
mod joint;
mod list;

pub use end::CutEnd;
pub use joint::JointMark;
pub use list::{Assembly, Cut, CutList, on_tape};
