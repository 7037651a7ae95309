//! Code profiles: the figures of one code and edition as data, with local amendments laid over them.
//!
//! A profile is a folder of `assets/codes/`, embedded: `profile.ron` names the code, and beside it stands a file for each
//! chapter. Each figure has a key, a value in a named unit, its section and how far it can be trusted; a rule asks by key
//! and holds no figure of its own.

mod amend;
mod figure;
mod profile;
mod read;

pub(crate) use amend::nearest;
pub use figure::{Figure, UNITS};
pub use profile::{CHAPTERS, Profile, ProfileText};
