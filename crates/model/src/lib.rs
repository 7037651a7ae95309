//! Truefall model.
pub mod solid;
