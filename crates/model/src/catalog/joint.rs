//! Joints: how two ends are made tight, and the small angles they allow.

use super::figure::Figure;
use crate::units::{Angle, NominalSize};

choice! {
    /// How two ends are joined.
    pub enum JointKind {
        /// Plastic, glued.
        SolventWeld = "solvent_weld",
        /// A gasket pressed into an iron hub.
        CompressionGasket = "compression_gasket",
        /// A caulked iron hub.
        LeadAndOakum = "lead_and_oakum",
        /// Sleeve and bands on hubless iron.
        HublessCoupling = "hubless_coupling",
        /// Shielded sleeve between pipes of different outside diameters.
        TransitionCoupling = "transition_coupling",
        /// Copper, soldered.
        Soldered = "soldered",
    }
}

impl JointKind {
    /// The kind a person means by `solvent weld` or `compression_gasket`.
    pub fn named(text: &str) -> Option<Self> {
        let plain = |t: &str| t.trim().to_lowercase().replace([' ', '-'], "_");
        let read = plain(text);
        Self::ALL.iter().copied().find(|k| plain(k.word()) == read)
    }
}

record! {
    /// The angle a joint of one size can be set to.
    pub struct Seat {
        /// Nominal size; every size not said otherwise when left out.
        size: Option<NominalSize>,
        /// The angle.
        angle: Figure<Angle>,
    }

    /// One way to join.
    pub struct Joint {
        /// Which.
        kind: JointKind,
        /// The angle it can be set to before it takes, for aiming a grade.
        seats: Vec<Seat>,
        /// The angle it may stand at for good, found out of line. Zero for what is rigid.
        limit: Figure<Angle>,
    }
}

impl Joint {
    /// The angle it can be set to before it takes; nothing where the catalog has no figure for the size.
    pub fn seat(&self, size: NominalSize) -> Option<&Figure<Angle>> {
        let sized = self.seats.iter().find(|s| s.size == Some(size));
        sized.or_else(|| self.seats.iter().find(|s| s.size.is_none())).map(|s| &s.angle)
    }

    /// Why there is no such joint, if there isn't.
    pub(super) fn possible(&self) -> Result<(), String> {
        let angles = self.seats.iter().map(|s| &s.angle).chain([&self.limit]);
        for angle in angles {
            if !(0.0..45.0).contains(&angle.value.to_degrees()) {
                return Err(format!("{}: an angle of {} is no give of a joint", self.kind, angle.value));
            }
        }
        Ok(())
    }
}
