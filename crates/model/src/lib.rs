//! The model of a drain rough-in: quantities, catalog, house, fixtures, survey, the job file, and where everything
//! sits in space.
//!
//! The way through it: a job file is read by [`document`] into a [`job::Job`]; [`catalog`] says what fittings and
//! lumber are; [`framing`] turns floors and walls into members; [`place`] composes the rigid parts from the base of
//! each stack outwards, twice: as drawn and as found; [`network`] says who joins whom and which way it flows;
//! [`solid`] is the space a part takes up.
//!
//! Inches and radians in `f64`, z up. z = 0 is the rough surface of the floor marked `datum`; +y is up on the plan.

// First: its macros declare the types of the others.
#[macro_use]
pub mod document;
pub mod catalog;
pub mod framing;
pub mod job;
pub mod label;
pub mod network;
pub mod place;
pub mod solid;
pub mod survey;
pub mod tolerance;
pub mod units;
