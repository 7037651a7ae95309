//! Room for pipes between themselves and towards fixtures.

pub mod misfit_at_fixture;
pub mod pipe_against_pipe;
pub mod pipe_in_keep_out;
pub mod pipe_proud_of_framing;
