//! Truefall model.

pub mod tolerance;
pub mod units;
