//! Room for pipes between themselves and towards fixtures.

pub mod misfit_at_fixture;
