//! A floor as the user writes it: its height, what lies on it, and the joists under it.

use crate::label::Label;
use crate::units::Length;

record! {
    /// A floor. *Rough* is the top of the subfloor or slab, *finished* is rough and the build-up.
    pub struct Floor {
        /// Its name, such as `first`.
        name: Label,
        /// Whether heights in space are counted from its rough surface; exactly one floor of a house is it.
        datum: bool = false,
        /// Its rough surface over that of the datum floor, negative below it; may be left out on the datum floor.
        rough: Option<Length>,
        /// What will lie on the rough surface, from there up.
        build_up: Vec<Layer>,
        /// Thickness of the subfloor; 3/4 in is common practice.
        subfloor: Length = Length::inches(0.75),
        /// Two opposite corners on the plan of the rectangle it covers; needed with joists.
        outline: Option<((Length, Length), (Length, Length))>,
        /// The joists under it.
        joists: Option<Joists>,
        /// Stairs, shafts and other holes through it; joists are cut at them.
        openings: Vec<FloorOpening>,
    }

    /// One layer on a floor or wall.
    pub struct Layer {
        /// What it is, such as `tile`.
        what: Label,
        /// How thick it is.
        thick: Length,
    }

    /// A row of joists that hangs under the subfloor and covers the floor's outline.
    pub struct Joists {
        /// What they are.
        kind: JoistKind = JoistKind::Sawn,
        /// Nominal size, such as `2x8`; the true size comes from the lumber standard.
        size: Option<Label>,
        /// True depth as measured; it goes before the nominal size.
        depth: Option<Length>,
        /// True thickness as measured; of an I-joist or truss, the width of its flange.
        thick: Option<Length>,
        /// The way they run on the plan.
        runs: Axis,
        /// On centre; left out and without `edges` it is 16 in and marked assumed.
        spacing: Option<Length>,
        /// Near edge of the first one, across the joists from the outline's corner of least x and y.
        first: Length = Length::ZERO,
        /// Near edges as measured from that corner; they replace the spacing. Mixed spacing is normal.
        edges: Vec<Length>,
        /// Of an I-joist or truss: how tall and how wide a flange is.
        flange: Option<(Length, Length)>,
        /// Thickness of the rim across both ends of the joists, where there is one.
        rim: Option<Length>,
    }

    /// A hole through a floor.
    pub struct FloorOpening {
        /// Its name, such as `stair`.
        name: Label,
        /// One corner on the plan.
        from: (Length, Length),
        /// The opposite corner.
        to: (Length, Length),
    }
}

choice! {
    /// What a joist is made as.
    pub enum JoistKind {
        /// Sawn lumber.
        Sawn = "sawn",
        /// I-joist: its web may be bored by its maker's rules, its flanges never.
        IJoist = "i_joist",
        /// Floor truss: never cut.
        Truss = "truss",
    }
}

choice! {
    /// An axis of the plan.
    pub enum Axis {
        /// To the right.
        X = "x",
        /// Up on the plan.
        Y = "y",
    }
}
