//! Traps and their arms.

pub mod closet_arm_too_long;
pub mod outlet_too_far_above_weir;
pub mod outlet_too_far_aside;
pub mod standpipe_too_short;
pub mod standpipe_too_tall;
pub mod trap_arm_bends_too_much;
pub mod trap_arm_drops;
pub mod trap_arm_falls_too_far;
pub mod trap_arm_too_long;
pub mod trap_arm_too_short;
pub mod trap_double;
pub mod trap_missing;
pub mod trap_seal_out_of_range;
pub mod washer_trap_misplaced;
