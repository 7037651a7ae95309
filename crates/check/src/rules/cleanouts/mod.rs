//! Where drains can be rodded.

pub mod cleanout_missing;
pub mod cleanout_not_reachable;
