//! Fittings as the catalog's file writes them: the lengths a sheet gives or a tape measures, not ports.

use super::family::Family;
use super::figure::{Source, Status};
use super::material::Material;
use super::pattern::PortEnd;
use crate::label::Label;
use crate::units::{Grade, Length, NominalSize};

variants! {
    /// The lengths of a fitting. A leg runs from where the axes cross to the hub's stop.
    pub enum Shape {
        /// Two hubs at an angle, or a spigot and a hub.
        Bend {
            /// Leg of the port towards the base; for a street bend the leg its hub would have.
            laying: Length,
            /// Leg of the other port; the same when left out.
            out: Option<Length>,
        },
        /// A 1/4 bend with a smaller hub at its heel or in its side.
        InletBend {
            /// Leg of both ends.
            laying: Length,
            /// Leg of the smaller hub.
            inlet: Length,
        },
        /// A run and a branch (two for a double tee) square to it but for the pitch.
        Tee {
            /// Leg away from the base.
            up: Length,
            /// Leg towards the base.
            down: Length,
            /// Leg of the branch; to the face where the branch is threaded.
            branch: Length,
        },
        /// A run and a branch at 45 degrees.
        Wye {
            /// Leg away from the base.
            up: Length,
            /// Leg towards the base; less than nothing where the crossing lies below the lower stop.
            down: Length,
            /// Leg of the branch.
            branch: Length,
        },
        /// A run and a branch that comes out square but for the pitch, over a 45. Legs run from where the branch's
        /// axis crosses the run's.
        Combination {
            /// Leg away from the base; less than nothing where the upper stop lies below the crossing.
            up: Length,
            /// Leg towards the base.
            down: Length,
            /// Leg of the branch.
            branch: Length,
            /// From the crossing to where the branch turns down to its 45.
            turn: Length,
        },
        /// Two hubs in line.
        Coupling {
            /// From stop to stop.
            gap: Length,
            /// Socket depth of both ends; by size when left out.
            socket: Option<Length>,
            /// Outside diameter; by size when left out.
            outside: Option<Length>,
        },
        /// A spigot that fills a hub, with a smaller hub in its flush face.
        Bushing {
            /// From the face to the small hub's stop.
            stop: Length,
        },
        /// Closes an end.
        Closure {
            /// What stands beyond the hub's stop or the mate's face.
            beyond: Length,
        },
        /// A closet's flange.
        Flange {
            /// From the ring's underside down to the stop, or down to a spigot's end.
            stop: Length,
            /// Outside diameter of the ring.
            ring: Length,
            /// Thickness of the ring.
            thickness: Length,
        },
        /// A trap.
        Trap {
            /// Leg of the outlet.
            outlet: Length,
            /// From the riser's axis to the inlet's.
            spread: Length,
            /// From the outlet's axis down to the level of the U's stops.
            reach: Length,
            /// From the level of the U's stops down to the U's axis at its lowest; half the spread when left out.
            depth: Option<Length>,
        },
        /// Ports said one by one.
        Ports {
            /// The ports; the first is the one towards the base and looks along -z.
            ports: Vec<RawPort>,
            /// The port a run goes on through; none where it ends.
            leave: Option<Label>,
        },
    }
}

record! {
    /// A port said by itself, in the pattern's frame.
    pub struct RawPort {
        /// Its name.
        name: Label,
        /// Nominal size.
        size: NominalSize,
        /// What kind of end.
        end: PortEnd = PortEnd::Hub,
        /// The hub's stop, inches.
        stop: (f64, f64, f64),
        /// Unit vector out of the fitting.
        axis: (f64, f64, f64),
        /// From the crossing of axes to the stop.
        laying: Length,
        /// Socket depth; by size when left out.
        socket: Option<Length>,
    }

    /// A fitting of the catalog's file. Its name says family and sizes.
    pub struct Fitting {
        /// Sizes and family, such as `3x3x2 sanitary tee`.
        name: Label,
        /// Its lengths.
        shape: Shape,
        /// The materials it is made in.
        materials: Vec<Material>,
        /// Pitch built in; the family's when left out.
        pitch: Option<Grade>,
        /// How far the lengths may be off.
        tolerance: Length = Length::inches(1.0 / 16.0),
        /// How far the figures can be trusted.
        status: Status,
        /// Where they come from.
        source: Source,
    }
}

impl Shape {
    /// Whether a fitting of this family can have this shape; a sentence where it can't.
    pub(super) fn suits(&self, family: Family) -> Result<(), String> {
        use Family as F;
        let suits = match self {
            Self::Bend { .. } => family.bend().is_some() && !family.is_inlet_bend(),
            Self::InletBend { .. } => family.is_inlet_bend(),
            Self::Tee { .. } => matches!(
                family,
                F::SanitaryTee
                    | F::StreetSanitaryTee
                    | F::DoubleSanitaryTee
                    | F::DoubleFixtureFitting
                    | F::VentTee
                    | F::CleanoutTee
                    | F::TestTee
            ),
            Self::Wye { .. } => family == F::Wye,
            Self::Combination { .. } => family == F::Combination,
            Self::Coupling { .. } => matches!(
                family,
                F::Coupling | F::SlipCoupling | F::TransitionCoupling | F::HublessCoupling | F::Reducer
            ),
            Self::Bushing { .. } => family == F::Bushing,
            Self::Closure { .. } => matches!(family, F::Cap | F::Plug),
            Self::Flange { .. } => matches!(family, F::ClosetFlange | F::SpigotClosetFlange),
            Self::Trap { .. } => family == F::PTrap,
            // The bodies of these two need lengths that ports alone don't say.
            Self::Ports { .. } => !matches!(family, F::PTrap | F::Combination),
        };
        if suits { Ok(()) } else { Err(format!("a {} has another shape", family.word())) }
    }
}
