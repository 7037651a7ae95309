//! The space a part takes up: convex bodies for checking, and closed meshes of them for drawing. No engine types.

mod bend;
mod body;
mod mesh;

pub use bend::{CentreArc, bend_bodies};
pub use body::Body;
pub use mesh::Mesh;

/// How far, in inches, a stand-in (polygon for a circle, cylinder for a bend) may leave the surface it stands for.
///
/// House figure: half of the 1/16 in to which rough-in dimensions are commonly read off a tape (common practice).
pub const CHORD_ERROR_IN: f64 = 1.0 / 32.0;
