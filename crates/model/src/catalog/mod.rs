//! The catalog: what pipe, fittings, joints, bits, lumber and finishes are, and what fixtures usually want.
//!
//! Every figure says what it rests on: a [`figure::Status`] and a source. Most fitting dimensions are from memory or
//! derived, so all of it is data in `assets/catalog/*.ron`; a user replaces entries from a maker's sheet or from a
//! measurement in the hand ([`Catalog::with_overrides`], [`pattern::Pattern::with_laying`]).

pub mod bit;
mod book;
mod build;
pub mod family;
pub mod figure;
pub mod files;
pub mod finish;
pub mod fixture;
pub mod joint;
pub mod lumber;
pub mod material;
pub mod name;
pub mod pattern;
pub mod pipe;
mod possible;
pub mod shape;
pub mod socket;
mod space;

pub use book::Catalog;
