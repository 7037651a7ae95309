//! Truefall check.
