//! The commands, one file each.

pub mod catalog;
pub mod check;
pub mod explain;
