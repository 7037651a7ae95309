//! A plane of the roof as the user writes it.

use crate::job::height::Height;
use crate::label::Label;
use crate::units::{Grade, Length};

record! {
    /// A plane of the roof: a rectangle on the plan that rises away from its eave.
    pub struct RoofPlane {
        /// Its name, such as `south slope`.
        name: Label,
        /// Its lower edge on the plan; the roof rises to the left, going from the first point to the second.
        eave: ((Length, Length), (Length, Length)),
        /// Height of its outer surface at that edge.
        height: Height,
        /// Rise for each foot of level run, such as `6` for 6 in 12.
        pitch: Grade,
        /// How far it goes from the eave, measured level.
        run: Length,
        /// Sheathing and roofing above the rafters, square to the roof; 3/4 in is common practice.
        deck: Length = Length::inches(0.75),
        /// It is walked on, as a deck over a room is: vents go higher there.
        walked: bool = false,
        /// The rafters under it.
        rafters: Option<Rafters>,
    }

    /// A row of rafters, square to the eave.
    pub struct Rafters {
        /// Nominal size, such as `2x6`.
        size: Option<Label>,
        /// True depth as measured; it goes before the nominal size.
        depth: Option<Length>,
        /// True thickness as measured.
        thick: Option<Length>,
        /// On centre; left out, it is 16 in and marked assumed.
        spacing: Option<Length>,
        /// Near edge of the first one, along the eave from its first point.
        first: Length = Length::ZERO,
        /// Near edges as measured along the eave; they replace the spacing.
        edges: Vec<Length>,
    }
}
