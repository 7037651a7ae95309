//! Fittings, pieces and joints.

pub mod closure_misfit;
pub mod corner_not_made;
pub mod joint_over_deflected;
pub mod piece_too_short;
pub mod tee_not_upright;
