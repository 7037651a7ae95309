//! All rules. One file each, in the folder of its family, named after the fault.

pub mod cleanouts;
pub mod fittings;
pub mod grade;
pub mod iron;
pub mod room;
pub mod support;
pub mod traps;
pub mod wood;

use crate::rule::Rule;

/// Every rule, by id.
pub const ALL: &[&Rule] = &[
    &wood::clash_with_wood::RULE,
    &cleanouts::cleanout_missing::RULE,
    &cleanouts::cleanout_not_reachable::RULE,
    &room::closet_off_its_rough::RULE,
    &room::closet_too_near_fixture::RULE,
    &room::closet_too_near_front::RULE,
    &room::closet_too_near_side::RULE,
    &fittings::closure_misfit::RULE,
    &fittings::corner_not_made::RULE,
    &iron::coupling_does_not_fit::RULE,
    &grade::drain_falls_backwards::RULE,
    &grade::drain_grade_not_made::RULE,
    &grade::drain_too_flat::RULE,
    &grade::existing_not_read::RULE,
    &room::flange_off_the_floor::RULE,
    &support::hanger_too_far::RULE,
    &iron::iron_cut_not_held::RULE,
    &iron::iron_straight_too_short::RULE,
    &fittings::joint_over_deflected::RULE,
    &wood::joist_bore_too_large::RULE,
    &wood::joist_bore_too_near_edge::RULE,
    &wood::joist_cuts_too_close::RULE,
    &wood::joist_engineered_cut::RULE,
    &wood::joist_notch_in_middle_third::RULE,
    &wood::joist_notch_on_tension_side::RULE,
    &wood::joist_notch_too_deep::RULE,
    &wood::joist_notch_too_long::RULE,
    &room::misfit_at_fixture::RULE,
    &fittings::piece_too_short::RULE,
    &room::pipe_against_pipe::RULE,
    &room::pipe_in_keep_out::RULE,
    &room::pipe_proud_of_framing::RULE,
    &wood::post_or_brace_cut::RULE,
    &wood::shield_plate_missing::RULE,
    &support::stack_base_not_held::RULE,
    &support::stack_not_held_at_floor::RULE,
    &grade::stack_out_of_plumb::RULE,
    &wood::stated_hole_too_small::RULE,
    &wood::stud_bore_too_large::RULE,
    &wood::stud_bore_too_near_edge::RULE,
    &wood::stud_doubles_bored_in_a_row::RULE,
    &wood::stud_hole_beside_notch::RULE,
    &wood::stud_notch_too_deep::RULE,
    &grade::survey_crooked::RULE,
    &fittings::tee_not_upright::RULE,
    &wood::top_plate_cut::RULE,
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
