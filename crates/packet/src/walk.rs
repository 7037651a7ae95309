//! The guided walk through a job: where one stops, what one looks at, what is said there. Data only; the viewer and the
//! pages that are handed out show the same stops.
//!
//! A *stop* has an eye and a point it looks at, job axes and inches. A *screw band* is the stretch of a wall that no screw
//! may enter, told from the left corner as one stands before it.

pub mod eye;
pub mod screw_band;
pub mod stop;

pub use screw_band::{Facing, ScrewBand, screw_bands};
pub use stop::{Stop, StopKind, stops};
