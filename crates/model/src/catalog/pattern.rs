//! A fitting pattern: its ports in a frame of its own.
//!
//! The frame: inches; the origin is the point that heights refer to. Where axes cross it is their crossing; for a
//! flange the centre of its ring's underside; for a combination where the branch's axis meets the run's; for a trap
//! where the riser's axis meets the outlet's; for a coupling the middle between its stops; for a bushing the centre
//! of its flush face. The usual port towards the base looks along -z, a straight run goes on along +z, and the
//! branch leaves towards +x.

use super::family::Family;
use super::figure::Status;
use super::material::Material;
use crate::label::Label;
use crate::units::{Angle, Grade, Length, NominalSize};
use nalgebra::{Point3, Rotation3, Unit, Vector3};

choice! {
    /// What kind of end a port is.
    pub enum PortEnd {
        /// Takes a pipe end or a spigot.
        Hub = "hub",
        /// Goes into a hub.
        Spigot = "spigot",
        /// A closet's ring, bolted.
        Ring = "ring",
        /// A thread for a plug.
        Thread = "thread",
    }
}

/// Where a fitting is joined to the next part.
#[derive(Debug, Clone, PartialEq)]
pub struct Port {
    /// Its name, such as `branch`.
    pub name: Label,
    /// Nominal size.
    pub size: NominalSize,
    /// What kind of end it is.
    pub end: PortEnd,
    /// Where the mate's end sits (a hub's stop); a spigot's own end; a ring's underside; a thread's face.
    pub stop: Point3<f64>,
    /// Unit vector out of the fitting along the port's axis.
    pub axis: Vector3<f64>,
    /// How deep a mate goes in, from the hub's face to its stop; zero for anything but a hub.
    pub socket: Length,
    /// From the point of the port's axis that its length is counted from (the crossing of axes) to [`Port::stop`].
    pub laying: Length,
    /// Outside diameter of the hub, or of the spigot or ring.
    pub outside: Length,
    /// Diameter of the way through.
    pub bore: Length,
}

impl Port {
    /// The centre of the hub's face; the stop itself where there is no socket.
    pub fn face(&self) -> Point3<f64> {
        self.stop + self.axis * self.socket.to_inches()
    }

    /// The point of the axis that the laying length is counted from.
    pub fn foot(&self) -> Point3<f64> {
        self.stop - self.axis * self.laying.to_inches()
    }
}

/// How a trap's inlet may be swung about its riser.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// A point of the riser's axis.
    pub through: Point3<f64>,
    /// Unit vector up the riser; a positive angle turns right-handed about it.
    pub about: Vector3<f64>,
    /// Unit vector from the riser to the inlet at angle zero: straight on, away from the outlet.
    pub zero: Vector3<f64>,
    /// From the riser's axis to the inlet's.
    pub radius: Length,
    /// From the crossing of riser and outlet down the riser to the level where the U begins.
    pub reach: Length,
    /// From that crossing down to the level of the U's axis at its lowest.
    pub drop: Length,
    /// Where it stands now.
    pub angle: Angle,
}

/// One fitting of the catalog, checked to be possible.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// Its name as the catalog writes it, such as `3x3x2 sanitary tee`.
    pub name: Label,
    /// What it is, whatever its size.
    pub family: Family,
    /// The materials it is made in.
    pub materials: Vec<Material>,
    /// Its ports; the indices below point here.
    pub ports: Vec<Port>,
    /// The usual port towards the base.
    pub enter: usize,
    /// The usual port a run goes on through; none where it ends.
    pub leave: Option<usize>,
    /// Unit vector, square to the enter port's axis, that points where the job's clock says.
    pub clock_axis: Vector3<f64>,
    /// The grade built into its angles; level where they are true.
    pub pitch: Grade,
    /// The bottom of the bore where water spills out of the riser; for a trap only.
    pub weir: Option<Point3<f64>>,
    /// How the inlet may be swung; for a trap only.
    pub swing: Option<Swing>,
    /// Where the branch turns down to its 45; for a combination only.
    pub turn: Option<Point3<f64>>,
    /// What stands beyond: a flange's ring above its underside, a cap's end beyond its stop. Nothing else has it.
    pub beyond: Option<Length>,
    /// It may carry air only.
    pub dry_only: bool,
    /// How far its laying lengths may be off, either way.
    pub tolerance: Length,
    /// How far its figures can be trusted.
    pub status: Status,
    /// Where they come from.
    pub source: String,
}

/// What can't be done with a pattern.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PatternError {
    /// It has no such port.
    #[error("{pattern} has no port `{read}`; allowed: {allowed}")]
    NoPort {
        /// The pattern's name.
        pattern: String,
        /// The port asked for.
        read: String,
        /// Its ports.
        allowed: String,
    },
    /// The lengths make no fitting.
    #[error("{pattern} is impossible: {reason}")]
    Impossible {
        /// The pattern's name.
        pattern: String,
        /// Why.
        reason: String,
    },
}

impl Pattern {
    /// The index of a port by its name.
    ///
    /// # Errors
    /// [`PatternError::NoPort`] with the ports it has.
    pub fn port(&self, name: &str) -> Result<usize, PatternError> {
        let name = name.trim();
        self.ports.iter().position(|p| p.name.as_str().eq_ignore_ascii_case(name)).ok_or_else(|| {
            let allowed: Vec<&str> = self.ports.iter().map(|p| p.name.as_str()).collect();
            PatternError::NoPort {
                pattern: self.name.to_string(),
                read: name.to_owned(),
                allowed: allowed.join(", "),
            }
        })
    }

    /// The outside diameter of a port's hub; of the spigot or ring where it is one.
    pub fn hub_outside(&self, port: usize) -> Option<Length> {
        self.ports.get(port).map(|p| p.outside)
    }

    /// The same pattern with one port as measured in the hand: centre to stop, and the depth of its socket where it
    /// was measured. A trap's ports are not measured so.
    ///
    /// # Errors
    /// A port it does not have, and lengths that make no fitting.
    pub fn with_laying(
        &self,
        port: &str,
        laying: Length,
        socket: Option<Length>,
    ) -> Result<Self, PatternError> {
        let at = self.port(port)?;
        let impossible = |reason: String| PatternError::Impossible { pattern: self.name.to_string(), reason };
        if self.swing.is_some() {
            return Err(impossible(
                "a trap's lengths come with its bends; change the catalog's entry".to_owned(),
            ));
        }
        let mut pattern = self.clone();
        let measured = &mut pattern.ports[at];
        measured.stop = measured.foot() + measured.axis * laying.to_inches();
        measured.laying = laying;
        if let Some(socket) = socket {
            if measured.end != PortEnd::Hub {
                return Err(impossible(format!("`{}` is no hub and has no socket", measured.name)));
            }
            measured.socket = socket;
        }
        pattern.status = Status::Measured;
        pattern.source = format!("measured in the hand at `{}`; else {}", measured.name, self.source);
        pattern.possible().map_err(impossible)?;
        Ok(pattern)
    }

    /// Depth of a trap's seal: from its weir down to the top of the bore where the U is lowest, along the riser.
    pub fn seal(&self) -> Option<Length> {
        let (swing, weir) = (self.swing?, self.weir?);
        let bore = self.ports[self.enter].bore;
        let weir_up = (weir - swing.through).dot(&swing.about);
        Some(Length::inches(weir_up) + swing.drop - bore / 2.0)
    }

    /// The same trap with its inlet swung to an angle about its riser; other patterns stay as they are.
    pub fn swung(&self, angle: Angle) -> Self {
        let mut pattern = self.clone();
        let Some(swing) = &mut pattern.swing else { return pattern };
        let about = Unit::new_normalize(swing.about);
        let turn = Rotation3::from_axis_angle(&about, angle.to_radians() - swing.angle.to_radians());
        for port in pattern.ports.iter_mut().filter(|p| p.name.as_str() == INLET) {
            port.stop = swing.through + turn * (port.stop - swing.through);
            port.axis = turn * port.axis;
        }
        swing.angle = angle;
        pattern
    }
}

/// The port of a trap that the fixture drains into.
pub const INLET: &str = "inlet";
