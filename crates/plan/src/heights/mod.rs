//! Stack heights: which fitting at which height, so that every branch, run at its grade, arrives where its fixture wants it,
//! with hubs, bushings and make-up pieces that really fit.
//!
//! [`mod@column`] is the stack stripped to lengths, [`ladder`] finds the cheapest that can be built, [`mod@settle`] gives it heights.
//! [`riser`], [`window`], [`mod@clock`], [`wood`] and [`offer`] make the column of a job's stack, [`mod@plan`] takes all stacks through it and tries what came
//! of it; [`mod@conflict`] and [`remedy`] say why there is nothing and what would help, [`mended`] puts that in and tries it, [`doubt`] what an error does. [`washer`] tells where
//! a washer's box, standpipe and trap go in their bay, [`bay`] sets them there.

pub mod bay;
pub mod change;
pub mod clock;
pub mod column;
pub mod conflict;
pub mod doubt;
pub mod ladder;
pub mod mended;
pub mod offer;
pub mod plan;
pub mod remedy;
pub mod riser;
pub mod settle;
pub mod spans;
pub mod washer;
pub mod way;
pub mod window;
pub mod wood;

pub use column::{Choice, Column, Connector, Station, Tip};
pub use ladder::{Combination, Cost, solve};
pub(crate) use plan::plan_of;
pub use plan::{HeightsPlan, Means, Outcome, Solved, StackPlan, Stuck, plan};
pub use settle::settle;
pub use spans::Spans;
