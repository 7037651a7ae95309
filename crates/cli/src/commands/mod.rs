//! The commands, one file each.

pub mod catalog;
pub mod check;
pub mod codes;
pub mod explain;
pub mod packet;
