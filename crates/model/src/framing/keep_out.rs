//! A keep-out: space that is taken, such as a duct or a cabinet.

use crate::job::height::Height;
use crate::label::Label;
use crate::units::Length;

choice! {
    /// What takes the space.
    pub enum KeepOutKind {
        /// A window with its sill and casing.
        Window = "window",
        /// A duct.
        Duct = "duct",
        /// A cabinet, such as one let into a wall.
        Cabinet = "cabinet",
        /// An electrical box.
        LightBox = "light_box",
        /// A brace.
        Brace = "brace",
        /// Something else.
        Other = "other",
    }
}

record! {
    /// A box that no pipe may enter: either `from` and `size` along the job's axes, or `in_wall`.
    pub struct KeepOut {
        /// Its name.
        name: Label,
        /// What it is.
        kind: KeepOutKind,
        /// The corner with the least x, y and z; z is over the rough surface of the datum floor.
        from: Option<(Length, Length, Length)>,
        /// How far it goes from there along x, y and z.
        size: Option<(Length, Length, Length)>,
        /// Its place in a wall instead.
        in_wall: Option<InWall>,
    }

    /// A box in or on a wall.
    pub struct InWall {
        /// The wall's name.
        wall: Label,
        /// Its near edge, along the wall from its `from` corner.
        along: Length,
        /// How wide it is along the wall.
        width: Length,
        /// Height of its underside.
        bottom: Height,
        /// How tall it is.
        tall: Length,
        /// How far it goes into the wall from the bare stud face on the room's side; left out, through the studs.
        deep: Option<Length>,
        /// How far it stands out of that face into the room.
        out: Length = Length::ZERO,
    }
}
