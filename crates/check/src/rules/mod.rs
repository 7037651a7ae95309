//! All rules. One file each, in the folder of its family, named after the fault.

pub mod fittings;
pub mod grade;
pub mod room;
pub mod traps;
pub mod wood;

use crate::rule::Rule;

/// Every rule, by id.
pub const ALL: &[&Rule] = &[
    &fittings::closure_misfit::RULE,
    &fittings::corner_not_made::RULE,
    &grade::drain_falls_backwards::RULE,
    &grade::drain_grade_not_made::RULE,
    &grade::drain_too_flat::RULE,
    &grade::existing_not_read::RULE,
    &fittings::joint_over_deflected::RULE,
    &room::misfit_at_fixture::RULE,
    &fittings::piece_too_short::RULE,
    &grade::stack_out_of_plumb::RULE,
    &grade::survey_crooked::RULE,
    &fittings::tee_not_upright::RULE,
    &traps::trap_arm_falls_too_far::RULE,
    &traps::trap_arm_not_measured::RULE,
    &traps::trap_arm_too_long::RULE,
];

/// The rule of an id.
pub fn by_id(id: &str) -> Option<&'static Rule> {
    ALL.iter().copied().find(|r| r.id == id)
}

#[cfg(test)]
mod registry;
