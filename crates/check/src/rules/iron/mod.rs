//! Existing iron and what joins it.

pub mod coupling_does_not_fit;
pub mod iron_cut_not_held;
pub mod iron_straight_too_short;
