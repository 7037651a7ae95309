//! Placement: where every rigid part sits, composed port to port from the base of each stack outwards.
//!
//! Cut lengths, clocks and the small angles joints are set to are solved once, on the placement the job names; the
//! other placement is the same rigid assembly on its other bases. Nothing gives after the glue but a named correction.
//! A target grade is a target: what the rigid parts make of it is the truth and stands in [`RoughIn`].

mod base;
mod build;
mod closure;
mod distance;
mod end;
mod fit;
mod joint;
mod landing;
mod lean;
mod names;
mod orient;
pub mod part;
mod pointing;
pub mod rough_in;
mod run;
mod settle;
mod steer;
mod target;
pub mod trouble;

#[cfg(test)]
mod tests;

pub use build::place;
pub use orient::{clock_axis, clock_of};
pub use part::{Joint, JointId, Leg, LegId, Part, PartId, PartKind, RunId};
pub use pointing::pointing;
pub use rough_in::{Closure, Landing, Placed, RoughIn, Run, RunKind};
pub use trouble::{JobFault, Trouble};
