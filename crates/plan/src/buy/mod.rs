//! What to buy: all that a job takes, what it comes to by the user's own prices, and what would do the same for less.
//!
//! A [`Bill`] counts and proposes nothing. A [`Choice`] lists swaps that were each applied to a copy of the job, placed and
//! held to all rules before they are told; none of them is a guess.

mod bill;
mod choice;
mod corner;
mod fold;
mod hangers;
mod quote;
mod swap;
mod uncorner;

pub use bill::{Bill, JointCount, Line};
pub use choice::{Choice, Cost, Offer, Refusal, Tried, alternatives, choose};
pub use quote::Quote;
pub use swap::{Swap, SwapKind, swaps};
