//! Holds a placed job to the code and to our own rules: code profiles, rules (one file each), findings.
//!
//! The way through it: [`code::Profile`] holds the figures of one code as data, with local amendments laid over them;
//! a [`rule::Rule`] looks at one placement through a [`ctx::Ctx`] and tells [`finding::Finding`]s; [`check::check`] runs all
//! of [`rules::ALL`] and settles what they told. How a finding is laid out on paper or screen is not known here.

pub mod arm;
pub mod arm_shape;
pub mod bore;
pub mod check;
pub mod clash;
pub mod cleanout;
pub mod closet;
pub mod code;
pub mod ctx;
pub mod cure;
pub mod drain;
pub mod explain;
pub mod facts;
pub mod finding;
pub mod fixes;
pub mod flow;
pub mod hung;
pub mod insert;
pub mod lean;
pub mod load;
pub mod number;
pub mod obstacle;
pub mod query;
pub mod rule;
pub mod rules;
pub mod settle;
pub mod source;
pub mod stretch;
pub mod trial_test;
pub mod vent;

pub use check::check;
pub use code::Profile;
pub use ctx::Ctx;
pub use explain::{explain, rules_page};
pub use finding::{Finding, Limit, Verdict};
pub use rule::{Basis, Family, Rule};
pub use source::Source;
