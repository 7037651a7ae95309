//! Traps and their arms.

pub mod trap_arm_falls_too_far;
pub mod trap_arm_not_measured;
pub mod trap_arm_too_long;
