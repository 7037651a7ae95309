//! What carries the pipe.

pub mod hanger_too_far;
pub mod stack_base_not_held;
pub mod stack_not_held_at_floor;
pub mod turn_not_held;
