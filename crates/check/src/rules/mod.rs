//! All rules. One file each, in the folder of its family, named after the fault.

pub mod fittings;
pub mod grade;
pub mod room;
pub mod traps;
pub mod wood;

use crate::rule::Rule;

/// Every rule, by id.
pub const ALL: &[&Rule] = &[
    &grade::drain_too_flat::RULE,
];

/// The rule of an id.
pub fn by_id(id: &str) -> Option<&'static Rule> {
    ALL.iter().copied().find(|r| r.id == id)
}
