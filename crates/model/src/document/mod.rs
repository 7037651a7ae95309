//! Documents: reading RON text into checked values with the place of every fault, and printing it again.
//!
//! The `ron` crate stops at the first fault and its values carry no positions, so a person who types a job from a
//! notepad would mend one line at a time. Here the text becomes a tree of [`Node`]s that know where they stand; every
//! [`Document`] reads itself from a node, and all faults of a file are collected at once. The syntax is RON's own: a
//! test holds this reader to the `ron` crate on every file we ship.

mod align;
mod basics;
mod fault;
mod node;
mod parse;
mod print;
mod reader;
mod remark;
mod splice;
#[macro_use]
mod record;

pub use fault::{Fault, Faults};
pub use node::{Kind, Node, Span};
pub use parse::parse;
pub use print::{print, print_at};
pub use reader::{Document, Fields, Places, Reader, nearest, read_text, read_with_places};
pub(crate) use record::record;
pub use remark::remarks;
pub use splice::{Spliced, splice};
