//! Truefall model.

pub mod survey;
