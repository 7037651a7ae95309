//! How traps get their air, and the dry pipe that brings it.

pub mod circuit_vent_too_small;
pub mod island_foot_not_drained;
pub mod island_loop_too_low;
pub mod island_vent_not_as_drain;
pub mod island_vent_not_roddable;
mod lines;
pub mod main_vent_too_small;
pub mod trap_not_vented;
pub mod valve_not_allowed;
pub mod valve_too_low;
pub mod vent_ends_too_low;
pub mod vent_frost_too_small;
pub mod vent_near_opening;
pub mod vent_near_upright;
pub mod vent_not_open_to_air;
pub mod vent_runs_flat_too_low;
pub mod vent_takes_off_too_low;
pub mod vent_tied_too_low;
pub mod vent_too_long;
pub mod vent_too_small;
pub mod vents_too_small_together;
