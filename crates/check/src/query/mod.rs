//! Measuring: which solids come near which, and by how much. The only place that uses parry.
//!
//! A question is asked in three steps: [`broad`] finds the pairs worth a look, [`Solid::within`] gives a verdict on
//! one pair, [`Solid::separation`] gives the signed distance with its two points. Bodies are closed: touching counts
//! as within a clearance of 0 and has distance 0, so in framing, where parts rest on each other, read the distance
//! against a tolerance rather than the verdict at 0.
//!
//! **Invariant:** no distance, depth or point comes from parry, only yes or no ([`convex`]) and candidate pairs.

pub mod box_box;
pub mod box_pipe;
pub mod broad;
pub mod convex;
pub mod pipe_pipe;
pub mod separation;
pub mod solid;

mod approach;
mod cap;
mod convex_set;
mod deepest;
mod oriented_box;
mod pipe;
mod rim_search;

pub use oriented_box::OrientedBox;
pub use pipe::Pipe;
pub use separation::Separation;
pub use solid::{BadBody, Solid};
