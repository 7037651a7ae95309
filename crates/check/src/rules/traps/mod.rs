//! Traps and their arms.
