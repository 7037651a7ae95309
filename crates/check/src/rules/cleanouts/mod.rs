//! Where drains can be rodded.

pub mod cleanout_against_flow;
pub mod cleanout_missing;
pub mod cleanout_missing_at_end;
pub mod cleanout_missing_at_sewer;
pub mod cleanout_not_reachable;
pub mod cleanout_too_far_apart;
pub mod cleanout_too_small;
