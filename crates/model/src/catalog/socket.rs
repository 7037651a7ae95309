//! Hubs: how deep a pipe goes in, and how thick the hub is outside.

use super::figure::{Source, Status};
use super::material::Material;
use crate::units::{Length, NominalSize};

record! {
    /// The hub of one size in the drain, waste and vent patterns of some materials.
    pub struct Socket {
        /// The materials it holds for.
        materials: Vec<Material>,
        /// Nominal size of the pipe that goes in.
        size: NominalSize,
        /// From the hub's face to its stop.
        depth: Length,
        /// Outside diameter of the hub.
        hub_outside: Length,
        /// How far the figures can be trusted: the weaker of the two.
        status: Status,
        /// Where they come from.
        source: Source,
    }
}

impl Socket {
    /// Why there is no such hub, if there isn't.
    pub(super) fn possible(&self) -> Result<(), String> {
        if self.materials.is_empty() {
            return Err(format!("{} hub: it needs at least one material", self.size));
        }
        if !(self.depth.to_inches() > 0.0 && self.hub_outside.to_inches() > 0.0) {
            return Err(format!("{} hub: depth and hub_outside must be more than nothing", self.size));
        }
        Ok(())
    }
}
