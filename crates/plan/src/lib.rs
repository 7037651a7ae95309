//! Says how, where `check` says no. Every plan is a list of [`truefall_model::job::Edit`]s that was applied to a copy of the
//! job, placed and held to all rules; nothing is proposed that was not tried.
//!
//! Nothing is printed, read or written here: `packet` lays plans out, `cli` asks for them.

pub mod buy;
pub mod cuts;
pub mod heights;
pub mod holes;
pub mod landing_height;
pub mod lean;
pub mod prices;
pub mod route;
pub mod site;
pub mod stock;
pub mod survey_form;
pub mod trial;
pub mod vents;

pub use site::Site;
pub use trial::{Bench, Refused, Trial, attempt};
