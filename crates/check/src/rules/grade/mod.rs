//! How drains fall and stacks stand.

pub mod drain_too_flat;
