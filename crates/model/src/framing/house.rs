//! The house as the user writes it. All of it is measured; nothing is designed here.

pub use super::floor::{Axis, Floor, FloorOpening, JoistKind, Joists, Layer};
pub use super::keep_out::{InWall, KeepOut, KeepOutKind};
pub use super::member::MemberKind;
pub use super::roof::{Rafters, RoofPlane};
pub use super::wall::{Blocking, Wall, WallOpening};
use crate::job::height::Height;
use crate::label::Label;
use crate::units::Length;

record! {
    /// Floors, walls, roof and what is in the way.
    pub struct House {
        /// The floors; exactly one of them is the datum.
        floors: Vec<Floor>,
        /// The walls that matter to the rough-in.
        walls: Vec<Wall>,
        /// Beams, posts, braces and whatever else belongs to no wall and no row of joists.
        members: Vec<LooseMember>,
        /// The planes of the roof that a vent may leave through.
        roof: Vec<RoofPlane>,
        /// Windows and other openings that a vent's end must keep away from.
        windows: Vec<OpenableWindow>,
        /// What no pipe may pass through.
        keep_outs: Vec<KeepOut>,
        /// Insulation in walls.
        insulation: Vec<Insulation>,
        /// Height of the ground outside.
        outside_grade: Option<Height>,
        /// Winter design temperature, in degrees Fahrenheit.
        design_temperature_f: Option<f64>,
        /// Depth of snow a vent's end must clear.
        snow_depth: Option<Length>,
    }

    /// A member given as a box along the job's axes.
    pub struct LooseMember {
        /// Its name.
        name: Label,
        /// What it is.
        kind: MemberKind,
        /// The corner with the least x, y and z; z is over the rough surface of the datum floor.
        from: (Length, Length, Length),
        /// How far it goes from there along x, y and z.
        size: (Length, Length, Length),
        /// Whether it carries load; left out, it is taken as bearing and marked assumed.
        bearing: Option<bool>,
        /// How many plies it is built up of.
        plies: u32 = 1,
    }

    /// A window or other opening that air passes through.
    pub struct OpenableWindow {
        /// Its name.
        name: Label,
        /// The wall it is in.
        wall: Label,
        /// Its near edge, along the wall from its `from` corner.
        along: Length,
        /// How wide it opens.
        width: Length,
        /// Its bottom over the rough surface of the wall's floor.
        sill: Length,
        /// Its top over the rough surface of the wall's floor.
        head: Length,
    }

    /// Insulation in the stud bays of a wall, laid against the back (the side away from the room).
    pub struct Insulation {
        /// The wall's name.
        wall: Label,
        /// How deep it is; left out, it fills the bays.
        deep: Option<Length>,
    }
}
