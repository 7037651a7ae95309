//! Truefall check.
pub mod query;
