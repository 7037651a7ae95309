//! Lumber: the real thickness and depth behind a name.

use super::figure::{Source, Status};
use crate::label::Label;
use crate::units::Length;

record! {
    /// A solid member.
    pub struct Lumber {
        /// Its name, such as `2x4` or `old 2x4`.
        name: Label,
        /// The narrow side.
        thickness: Length,
        /// The wide side: a stud's width, a joist's depth.
        depth: Length,
        /// A member made of parts; what may be cut is its maker's business.
        made: Option<Made>,
        /// How far the figures can be trusted.
        status: Status,
        /// Where they come from.
        source: Source,
    }

    /// How an engineered member is made up.
    pub struct Made {
        /// Height of the flange or chord at top and bottom.
        flange: Length,
        /// Thickness of the web; none where it is open between its chords.
        web: Option<Length>,
    }
}

impl Lumber {
    /// Clear height between the flanges of an engineered member.
    pub fn clear(&self) -> Option<Length> {
        self.made.as_ref().map(|m| self.depth - m.flange * 2.0)
    }

    /// Why there is no such member, if there isn't.
    pub(super) fn possible(&self) -> Result<(), String> {
        if !(self.thickness.to_inches() > 0.0 && self.depth.to_inches() > 0.0) {
            return Err(format!("{}: thickness and depth must be more than nothing", self.name));
        }
        if self.clear().is_some_and(|c| c.to_inches() <= 0.0) {
            return Err(format!("{}: its flanges fill its whole depth", self.name));
        }
        Ok(())
    }
}

/// The form names are compared in: `2 x 4` and `2X4` are `2x4`.
pub(super) fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace('\u{d7}', "x").replace(" x ", "x").replace(['_', '-'], " ")
}
