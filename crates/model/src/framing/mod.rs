//! The house: what the user writes about it, and the wood that makes of it.
//!
//! [`house`] is the document, as typed from a notepad; [`frame::Framed`] is what stands there: every stud, plate and
//! joist a box in space, in inches on the job's axes. Rules look at the boxes and never at the document.

mod build;
mod edge_row;
pub mod floor;
pub mod frame;
pub mod house;
mod joist_run;
pub mod keep_out;
mod loose;
pub mod lumber_size;
pub mod member;
mod obstacle;
mod opening;
pub mod provided;
mod rafter_row;
pub mod roof;
pub mod space;
mod spans;
mod stud_layout;
mod subfloor;
pub mod trouble;
pub mod wall;
mod wall_frame;

#[cfg(test)]
mod tests;
