//! The hole schedule: where each member and each floor is drilled, from a stated datum, in the order to drill.
//!
//! Holes are those that `truefall_check` measures on the placed job, so what is drilled is what was held to the rules. They
//! stand where the placement the job is cut on has them; the other placement is told where it differs.

mod closet;
mod floor;
mod member;
mod off_wall;
mod order;
mod schedule;
mod write;

pub use closet::ClosetRing;
pub use floor::{Bay, FloorHole, Neighbour};
pub use member::{Datum, MemberHole, Needed, Other};
pub use off_wall::{Face, OffWall, within_reach};
pub use order::{Drop, Step};
pub use schedule::HoleSchedule;
