//! Pipe: the real diameters behind a nominal size.

use super::figure::{Source, Status};
use super::material::Material;
use crate::units::{Length, NominalSize};

record! {
    /// Pipe of one material and size.
    pub struct PipeSize {
        /// What it is made of.
        material: Material,
        /// The label on it.
        size: NominalSize,
        /// Outside diameter: for clashes, holes and hubs.
        outside: Length,
        /// Inside diameter at the standard's least wall: for weirs and seals. Real pipe is a little narrower.
        inside: Length,
        /// How far the figures can be trusted.
        status: Status,
        /// Where they come from.
        source: Source,
    }
}

impl PipeSize {
    /// Why there is no such pipe, if there isn't.
    pub(super) fn possible(&self) -> Result<(), String> {
        let (outside, inside) = (self.outside.to_inches(), self.inside.to_inches());
        if !(inside > 0.0 && inside < outside) {
            return Err(format!(
                "{} {} pipe: inside {} must be more than nothing and less than outside {}",
                self.size,
                self.material,
                self.inside.exact(),
                self.outside.exact()
            ));
        }
        Ok(())
    }
}
