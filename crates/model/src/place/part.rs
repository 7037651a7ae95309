//! Parts and joints: rigid things with ports, and where two ports meet.

use crate::catalog::joint::JointKind;
use crate::catalog::material::Material;
use crate::catalog::pattern::{Pattern, PortEnd};
use crate::label::Label;
use crate::units::{Angle, Grade, Length, NominalSize};
use nalgebra::{Point3, Vector3};

/// A part of the rough-in, by order of assembly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartId(pub u32);

/// A joint between two parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct JointId(pub u32);

/// A straight length between two fittings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LegId(pub u32);

/// A stack or a branch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct RunId(pub u32);

/// One rigid part.
#[derive(Debug, Clone)]
pub struct Part {
    /// Its number.
    pub id: PartId,
    /// Its name: a fitting's as the job gave it, a piece's made from the fittings at its ends.
    pub label: Label,
    /// The stack or branch it was listed in.
    pub run: RunId,
    /// What it is made of.
    pub material: Material,
    /// What it is.
    pub kind: PartKind,
}

/// What a part is.
#[derive(Debug, Clone)]
pub enum PartKind {
    /// A cut length of pipe. In its own frame it lies along +z from its end towards the base (`low`, at zero) to its
    /// far end (`high`).
    Piece {
        /// Nominal size.
        size: NominalSize,
        /// Outside diameter.
        outside: Length,
        /// Inside diameter.
        inside: Length,
        /// Cut length, end to end.
        cut: Length,
    },
    /// A fitting, in its pattern's frame.
    Fitting {
        /// The pattern, with what was measured in the hand and the trap's swing.
        pattern: Box<Pattern>,
        /// Ports closed with a plug, by index.
        plugs: Vec<usize>,
    },
    /// Existing work that new parts are joined to; its frame's +z looks out of the open end, zero at the stop.
    Existing {
        /// Nominal size.
        size: NominalSize,
        /// Outside diameter of the barrel.
        outside: Length,
        /// Whether the open end is a hub.
        hub: bool,
        /// From the rim of the hub to where a pipe stops; zero for a cut pipe.
        depth: Length,
    },
}

/// A port as part of a part, in the part's own frame (inches).
#[derive(Debug, Clone, PartialEq)]
pub struct PartPort {
    /// Its name.
    pub name: Label,
    /// Nominal size.
    pub size: NominalSize,
    /// What kind of end.
    pub end: PortEnd,
    /// Where the mate's end sits; a spigot's own end.
    pub stop: Point3<f64>,
    /// Unit vector out of the part.
    pub axis: Vector3<f64>,
    /// Depth of the socket; zero for a spigot.
    pub socket: Length,
}

impl Part {
    /// The ports, in the part's own frame.
    pub fn ports(&self) -> Vec<PartPort> {
        match &self.kind {
            PartKind::Piece { size, cut, .. } => {
                let end = |name: &str, z: f64, axis: f64| PartPort {
                    name: Label::new(name),
                    size: *size,
                    end: PortEnd::Spigot,
                    stop: Point3::new(0.0, 0.0, z),
                    axis: Vector3::new(0.0, 0.0, axis),
                    socket: Length::ZERO,
                };
                vec![end("low", 0.0, -1.0), end("high", cut.to_inches(), 1.0)]
            }
            PartKind::Fitting { pattern, .. } => pattern
                .ports
                .iter()
                .map(|p| PartPort {
                    name: p.name.clone(),
                    size: p.size,
                    end: p.end,
                    stop: p.stop,
                    axis: p.axis,
                    socket: p.socket,
                })
                .collect(),
            PartKind::Existing { size, hub, depth, .. } => vec![PartPort {
                name: Label::new("open"),
                size: *size,
                end: if *hub { PortEnd::Hub } else { PortEnd::Spigot },
                stop: Point3::origin(),
                axis: Vector3::z(),
                socket: *depth,
            }],
        }
    }

    /// Where a port's mate ends and the unit vector out of it, in the part's own frame: of [`Part::ports`] what is asked
    /// for most, without making the list.
    ///
    /// # Panics
    /// There is no such port.
    pub fn stop_and_axis(&self, port: usize) -> (Point3<f64>, Vector3<f64>) {
        match &self.kind {
            PartKind::Fitting { pattern, .. } => (pattern.ports[port].stop, pattern.ports[port].axis),
            PartKind::Piece { cut, .. } if port == 1 => {
                (Point3::new(0.0, 0.0, cut.to_inches()), Vector3::z())
            }
            PartKind::Piece { .. } if port == 0 => (Point3::origin(), -Vector3::z()),
            PartKind::Existing { .. } if port == 0 => (Point3::origin(), Vector3::z()),
            _ => panic!("{} has no port {port}", self.label),
        }
    }

    /// The pattern, if it is a fitting.
    pub fn pattern(&self) -> Option<&Pattern> {
        match &self.kind {
            PartKind::Fitting { pattern, .. } => Some(pattern),
            _ => None,
        }
    }

    /// The cut length, if it is a piece.
    pub fn cut(&self) -> Option<Length> {
        match &self.kind {
            PartKind::Piece { cut, .. } => Some(*cut),
            _ => None,
        }
    }

    /// The largest nominal size of its ports.
    pub fn size(&self) -> NominalSize {
        match &self.kind {
            PartKind::Piece { size, .. } | PartKind::Existing { size, .. } => *size,
            PartKind::Fitting { pattern, .. } => {
                pattern.ports.iter().map(|p| p.size).max().unwrap_or_else(|| pattern.ports[0].size)
            }
        }
    }
}

/// Where two ports meet. `low` is the side towards the base.
#[derive(Debug, Clone)]
pub struct Joint {
    /// Its number.
    pub id: JointId,
    /// Part and port towards the base.
    pub low: (PartId, usize),
    /// Part and port away from the base.
    pub high: (PartId, usize),
    /// How it is made.
    pub kind: JointKind,
    /// The angle it is set to before it takes, out of the line the rigid parts make; positive raises the far side.
    pub set: Angle,
    /// The angle the target grade would need.
    pub wanted: Angle,
    /// Largest angle it may be set to.
    pub seat: Angle,
    /// The angle a correction asks of it in the found placement.
    pub turned: Angle,
    /// The pair closes a tie; it is not part of the tree of assembly.
    pub closing: bool,
}

/// A straight length of pipe between two fittings, or two fittings joined without a piece.
#[derive(Debug, Clone)]
pub struct Leg {
    /// Its number.
    pub id: LegId,
    /// The stack or branch.
    pub run: RunId,
    /// The part towards the base.
    pub low: PartId,
    /// The piece, where there is one.
    pub piece: Option<PartId>,
    /// The part away from the base; none for a stub's free end.
    pub high: Option<PartId>,
    /// The joint that sets its direction.
    pub joint: JointId,
    /// The grade aimed at; none for a riser or a vent without a stated grade.
    pub target: Option<Grade>,
    /// Nominal size.
    pub size: NominalSize,
}
