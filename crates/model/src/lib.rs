//! Truefall model.
