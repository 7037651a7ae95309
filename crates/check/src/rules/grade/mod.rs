//! How drains fall and stacks stand.

pub mod branch_off_level_wye;
pub mod drain_falls_backwards;
pub mod drain_grade_not_made;
pub mod drain_steeper_than_practice;
pub mod drain_too_flat;
pub mod drain_uneven;
pub mod existing_not_read;
pub mod stack_out_of_plumb;
pub mod survey_crooked;
