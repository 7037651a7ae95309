//! Finishes: what goes over rough floors and bare studs.

use super::figure::{Source, Status};
use crate::label::Label;
use crate::units::Length;

record! {
    /// A layer of a wall or floor.
    pub struct Finish {
        /// Its name, such as `1/2 board`.
        name: Label,
        /// How much it builds up.
        thickness: Length,
        /// How far the figure can be trusted.
        status: Status,
        /// Where it comes from.
        source: Source,
    }
}

impl Finish {
    /// Why there is no such layer, if there isn't.
    pub(super) fn possible(&self) -> Result<(), String> {
        if self.thickness.to_inches() > 0.0 {
            return Ok(());
        }
        Err(format!("{}: a layer of {} builds nothing up", self.name, self.thickness))
    }
}
