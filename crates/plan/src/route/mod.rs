//! Trap routes: how a fixture's drain gets to its stack past studs, joists, pipes and what must be kept free.
//!
//! The drain's centre line is laid out on a graph of *escape lines* on the plan ([`lines`]): a state is a point and a heading,
//! and the height there follows from the level length behind it and the grade, because the search starts at the tee
//! ([`tees`]). [`search`] finds the cheapest ways in order of cost, looking at the wood of a leg only when the leg comes up.
//! Every way that is told has been turned into edits and tried whole ([`plan`]).
//!
//! Words: a *leg* is the straight length between two fittings; a *stop* is what stands in a leg's way.

pub mod answer;
pub mod asked;
pub mod cost;
pub mod edits;
pub mod goal;
pub mod graph;
pub mod head_off;
pub mod leg;
pub mod lines;
pub mod mend;
pub mod plan;
pub mod price;
pub mod riser;
pub mod search;
pub mod slide;
pub mod stop;
pub mod tees;
mod tried;
pub mod turn;
pub mod wood;
mod words;

pub use answer::{Answer, Miss, Route};
pub use asked::{Asked, NoRoute};
pub use cost::Weights;
pub use plan::routes;
pub use stop::Stop;
