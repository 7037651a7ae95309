//! Bits: the customary hole for a pipe, and which sizes can be had.

use super::figure::{Source, Status};
use super::material::Material;
use crate::units::{Length, NominalSize};

variants! {
    /// A line of the bit chart.
    pub enum Bit {
        /// A bit that can be bought in any trade store.
        Stocked {
            /// Diameter of the hole it makes.
            size: Length,
            /// How far the figure can be trusted.
            status: Status,
            /// Where it comes from.
            source: Source,
        },
        /// The hole usually bored for a pipe.
        Customary {
            /// What the pipe is made of.
            material: Material,
            /// Its nominal size.
            pipe: NominalSize,
            /// Diameter of the hole.
            bit: Length,
            /// How far the figure can be trusted.
            status: Status,
            /// Where it comes from.
            source: Source,
        },
    }
}

impl Bit {
    /// The diameter of the hole.
    pub fn diameter(&self) -> Length {
        match self {
            Self::Stocked { size, .. } => *size,
            Self::Customary { bit, .. } => *bit,
        }
    }

    /// How far the figure can be trusted and where it comes from.
    pub fn rests_on(&self) -> (Status, &Source) {
        match self {
            Self::Stocked { status, source, .. } | Self::Customary { status, source, .. } => {
                (*status, source)
            }
        }
    }

    /// Why there is no such bit, if there isn't.
    pub(super) fn possible(&self) -> Result<(), String> {
        if self.diameter().to_inches() > 0.0 {
            return Ok(());
        }
        Err(format!("a bit of {} makes no hole", self.diameter()))
    }
}
