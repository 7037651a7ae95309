//! Room for pipes between themselves and towards fixtures.

pub mod access_missing;
pub mod closet_off_its_rough;
pub mod closet_too_near_fixture;
pub mod closet_too_near_front;
pub mod closet_too_near_side;
pub mod flange_off_the_floor;
pub mod lavatory_too_near_front;
pub mod lavatory_too_near_side;
pub mod misfit_at_fixture;
pub mod pipe_against_pipe;
pub mod pipe_in_keep_out;
pub mod pipe_proud_of_framing;
