//! Bores: where one drilled hole or one notch lets a pipe through a member, and what no hole or notch makes.
//!
//! A *bore* belongs to one member and holds every part that shares the passage: the pipe and a hub in the same hole are
//! one bore, as large as the larger of them. Whether a member may be cut so is not decided here but by the rules, which
//! read [`Bore::cut`]. Everything else that is in the wood is a [`WoodClash`]. Existing parts are in holes made long
//! ago: they make no bores and clash with no wood.

mod drill;
mod find;
mod hole;
mod occupant;
mod passage;
mod plies;
mod section;
pub mod telling;

pub use drill::{Drill, Passage};
pub use find::{Passages, passages};
pub use hole::{Bit, Bore, Drilled, Through, WhyNot, WoodClash, Zone};
pub use occupant::{Occupant, Occupants};
pub use passage::{MemberPassages, in_member};
pub use plies::{Place, Plies};
pub use section::{Cut, Shape, Side};
