//! Fittings, pieces and joints.

pub mod branch_in_suds_zone;
pub mod branch_near_stack_base;
pub mod bushing_in_drain;
pub mod closure_misfit;
pub mod corner_not_made;
pub mod double_tee_misused;
pub mod inlet_bend_misused;
pub mod joint_over_deflected;
pub mod piece_too_short;
pub mod tee_not_upright;
pub mod vent_drops_below_weir;
pub mod vent_fitting_in_drain;
pub mod wrong_fitting_for_turn;
