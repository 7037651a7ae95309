//! What a stack's lean does to all that hangs on it, and what can be done about it, each remedy tried.
//!
//! A lean is taken out where a joint may stand at an angle (a gasket, a sleeve), or by a pair of equal bends of which one
//! is rolled a little, or it is left in and the tees are set for it. What asks more of a joint than it may stand at for good is
//! refused. No code and no standard that we know gives a greatest lean for a drain pipe: what is held to a limit is what the
//! lean does to grades, arms and landings.

mod bends;
mod effect;
mod joints;
mod leaves;
mod plan;
mod remedy;
mod stack;

pub use effect::{Effect, Measured};
pub use plan::{StackLean, lean, lean_told};
pub use remedy::{Asked, Kind, Refusal, Remedy};
pub use stack::Leaning;
