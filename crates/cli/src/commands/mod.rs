//! The commands, one file each.

pub mod apply;
pub mod catalog;
pub mod check;
pub mod codes;
pub mod explain;
pub mod heights;
pub mod job;
pub mod vents;
