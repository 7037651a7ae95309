//! Vents: for every trap without a lawful one the cheapest ways its code allows, each tried on a copy of the job, and for
//! the whole job the cheapest combination of them.
//!
//! A *need* is such a trap. A *takeoff* is where its drain takes a vent, a *way out* how that gets to the open air; both
//! make a *candidate*. A candidate that was placed and held to all rules, mends a need and turns nothing red is an *offer*.
//! The *pool* holds all candidates; those that can't be among the cheapest are never tried.

mod candidate;
mod combine;
pub mod cost;
pub mod cover;
mod double;
mod first_look;
mod goods;
mod larger;
pub mod need;
pub mod offer;
mod open_end;
mod pool;
mod room;
mod step;
mod takeoff;
mod tries;
mod way_out;

pub use cost::{Cost, Weights};
pub use need::Need;
pub use offer::{Offer, Refusal, VentPlan, Wanted, plan};
pub(crate) use way_out::roof_end;
