//! The commands, one file each.

pub mod apply;
pub mod buy;
pub mod catalog;
pub mod check;
pub mod codes;
pub mod cuts;
pub mod explain;
pub mod heights;
pub mod holes;
pub mod job;
pub mod lean;
pub mod new;
pub mod packet;
pub mod route;
pub mod sheet;
pub mod swap;
pub mod vents;
