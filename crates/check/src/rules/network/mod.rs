//! Who joins whom, and where it leads.

pub mod drain_goes_nowhere;
pub mod drain_loop;
pub mod fixture_not_drained;
pub mod port_left_open;
pub mod vent_carries_waste;
