//! What leaves Truefall: the report of a checked job, as text for people and as JSON.
//!
//! [`mod@examine`] takes a job through placing and checking, [`report`] lays the facts out once, [`mod@text`] and
//! [`mod@json`] print them. Nothing here decides whether anything is right.

pub mod csv;
pub mod drawing;
pub mod examine;
pub mod heights;
pub mod json;
pub mod lean_plan;
pub mod markup;
pub mod model_glb;
pub mod packet;
pub mod page;
pub mod plans;
mod price_file;
pub mod purchase;
pub mod report;
pub mod routes;
pub mod say;
pub mod text;
pub mod vents;
pub mod walk;
pub mod walk_page;

pub use examine::{Asked, Examined, examine, examine_with};
pub use json::json;
pub use lean_plan::LeanPlan;
pub use model_glb::model_glb;
pub use plans::Plans;
pub use price_file::{PriceForm, price_file};
pub use report::Report;
pub use routes::{routes_json, routes_text};
pub use text::codes::{code, codes};
pub use text::lean_plan::lean_plan;
pub use text::page::Look;
pub use text::style::Style;
pub use text::text;
pub use text::vents::vents as vents_text;
