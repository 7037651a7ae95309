//! The stock plan: which pieces are cut from which length of pipe, so that little is bought.
//!
//! The problem is the trade's old one of cutting stock. It is searched to the end (branch and bound) where that can be done,
//! and shown against a bound below which no plan can be; [`StockPlan::proven`] says when the two meet or the search was whole.

mod bound;
mod fill;
mod plan;
mod search;

pub use plan::{Bar, Piece, StockOptions, StockPlan, of_cuts, plan};
