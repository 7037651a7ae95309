//! All rules. One file each, in the folder of its family, named after the fault.

pub mod cleanouts;
pub mod fittings;
pub mod grade;
pub mod iron;
pub mod loads;
pub mod network;
pub mod room;
pub mod support;
pub mod traps;
pub mod venting;
pub mod wood;

use crate::rule::Rule;

/// Every rule, by id.
pub const ALL: &[&Rule] = &[
    &room::access_missing::RULE,
    &fittings::branch_in_suds_zone::RULE,
    &fittings::branch_near_stack_base::RULE,
    &grade::branch_off_level_wye::RULE,
    &loads::building_drain_overloaded::RULE,
    &fittings::bushing_in_drain::RULE,
    &venting::circuit_vent_too_small::RULE,
    &wood::clash_with_wood::RULE,
    &cleanouts::cleanout_missing::RULE,
    &cleanouts::cleanout_missing_at_end::RULE,
    &cleanouts::cleanout_missing_at_sewer::RULE,
    &cleanouts::cleanout_not_reachable::RULE,
    &cleanouts::cleanout_too_far_apart::RULE,
    &traps::closet_arm_too_long::RULE,
    &room::closet_off_its_rough::RULE,
    &room::closet_too_near_fixture::RULE,
    &room::closet_too_near_front::RULE,
    &room::closet_too_near_side::RULE,
    &loads::closets_on_3_in::RULE,
    &fittings::closure_misfit::RULE,
    &fittings::corner_not_made::RULE,
    &iron::coupling_does_not_fit::RULE,
    &fittings::double_tee_misused::RULE,
    &grade::drain_falls_backwards::RULE,
    &network::drain_goes_nowhere::RULE,
    &grade::drain_grade_not_made::RULE,
    &network::drain_loop::RULE,
    &loads::drain_overloaded_branch::RULE,
    &loads::drain_overloaded_stack::RULE,
    &loads::drain_shrinks_downstream::RULE,
    &grade::drain_steeper_than_practice::RULE,
    &grade::drain_too_flat::RULE,
    &loads::drain_too_small_for_fixture::RULE,
    &grade::drain_uneven::RULE,
    &grade::existing_not_read::RULE,
    &network::fixture_not_drained::RULE,
    &room::flange_off_the_floor::RULE,
    &support::hanger_too_far::RULE,
    &fittings::inlet_bend_misused::RULE,
    &iron::iron_cut_not_held::RULE,
    &iron::iron_straight_too_short::RULE,
    &venting::island_foot_not_drained::RULE,
    &venting::island_loop_too_low::RULE,
    &venting::island_vent_not_as_drain::RULE,
    &venting::island_vent_not_roddable::RULE,
    &fittings::joint_over_deflected::RULE,
    &wood::joist_bore_too_large::RULE,
    &wood::joist_bore_too_near_edge::RULE,
    &wood::joist_cuts_too_close::RULE,
    &wood::joist_engineered_cut::RULE,
    &wood::joist_notch_in_middle_third::RULE,
    &wood::joist_notch_on_tension_side::RULE,
    &wood::joist_notch_too_deep::RULE,
    &wood::joist_notch_too_long::RULE,
    &room::lavatory_too_near_front::RULE,
    &room::lavatory_too_near_side::RULE,
    &venting::main_vent_too_small::RULE,
    &room::misfit_at_fixture::RULE,
    &traps::outlet_too_far_above_weir::RULE,
    &traps::outlet_too_far_aside::RULE,
    &wood::piece_longer_than_bay::RULE,
    &fittings::piece_too_short::RULE,
    &room::pipe_against_pipe::RULE,
    &room::pipe_in_keep_out::RULE,
    &room::pipe_proud_of_framing::RULE,
    &network::port_left_open::RULE,
    &wood::post_or_brace_cut::RULE,
    &wood::shield_plate_missing::RULE,
    &support::stack_base_not_held::RULE,
    &support::stack_not_held_at_floor::RULE,
    &grade::stack_out_of_plumb::RULE,
    &traps::standpipe_too_short::RULE,
    &traps::standpipe_too_tall::RULE,
    &wood::stated_hole_too_small::RULE,
    &wood::stud_bore_too_large::RULE,
    &wood::stud_bore_too_near_edge::RULE,
    &wood::stud_doubles_bored_in_a_row::RULE,
    &wood::stud_hole_beside_notch::RULE,
    &wood::stud_notch_too_deep::RULE,
    &grade::survey_crooked::RULE,
    &fittings::tee_not_upright::RULE,
    &loads::too_many_fixtures_on_small_drain::RULE,
    &wood::top_plate_cut::RULE,
    &traps::trap_arm_bends_too_much::RULE,
    &traps::trap_arm_drops::RULE,
    &traps::trap_arm_falls_too_far::RULE,
    &traps::trap_arm_too_long::RULE,
    &traps::trap_arm_too_short::RULE,
    &traps::trap_double::RULE,
    &loads::trap_larger_than_drain::RULE,
    &traps::trap_missing::RULE,
    &venting::trap_not_vented::RULE,
    &traps::trap_seal_out_of_range::RULE,
    &loads::trap_too_small::RULE,
    &support::turn_not_held::RULE,
    &venting::valve_not_allowed::RULE,
    &venting::valve_too_low::RULE,
    &network::vent_carries_waste::RULE,
    &fittings::vent_drops_below_weir::RULE,
    &venting::vent_ends_too_low::RULE,
    &fittings::vent_fitting_in_drain::RULE,
    &venting::vent_frost_too_small::RULE,
    &venting::vent_near_opening::RULE,
    &venting::vent_not_open_to_air::RULE,
    &venting::vent_runs_flat_too_low::RULE,
    &venting::vent_takes_off_too_low::RULE,
    &venting::vent_tied_too_low::RULE,
    &venting::vent_too_long::RULE,
    &venting::vent_too_small::RULE,
    &venting::vents_too_small_together::RULE,
    &traps::washer_trap_misplaced::RULE,
    &fittings::wrong_fitting_for_turn::RULE,
];

/// The rule of an id.
pub fn by_id(id: &str) -> Option<&'static Rule> {
    ALL.iter().copied().find(|r| r.id == id)
}

#[cfg(test)]
mod registry;
