//! A wall as the user writes it: its line, its studs as measured, and what interrupts them.

use super::floor::Layer;
use crate::label::Label;
use crate::units::Length;

record! {
    /// A wall. Its line is the bare stud face on the room's side; the room is on the left going `from` to `to`, the
    /// framing on the right. Heights are over the rough surface of its floor, lengths along it are from its `from`
    /// corner.
    pub struct Wall {
        /// Its name, such as `north`.
        name: Label,
        /// The floor it stands on.
        floor: Label,
        /// Where its line starts on the plan.
        from: (Length, Length),
        /// Where its line ends.
        to: (Length, Length),
        /// To the top of the plates; 97-1/8 in is three plates and a 92-5/8 in stud (common practice).
        height: Length = Length::inches(97.125),
        /// True depth of the studs, across the wall.
        depth: Length = Length::inches(3.5),
        /// True thickness of the studs, along the wall.
        thick: Length = Length::inches(1.5),
        /// On centre from the `from` corner; left out and without `studs` it is 16 in and marked assumed.
        spacing: Option<Length>,
        /// Near edge of the first stud after the one in the corner; left out, the spacing is to its centre.
        first: Option<Length>,
        /// Near edges of all studs as a running tape reads them; they replace the spacing.
        studs: Vec<Length>,
        /// Near edges of the studs with a second ply beside them, on the far side where there is room.
        doubled: Vec<Length>,
        /// How many bottom plates.
        bottom_plates: u32 = 1,
        /// How many top plates.
        top_plates: u32 = 2,
        /// Thickness of each plate.
        plate_thick: Length = Length::inches(1.5),
        /// Whether it carries load; left out, it is taken as bearing and marked assumed.
        bearing: Option<bool>,
        /// Whether its back is outdoors.
        exterior: bool = false,
        /// What will cover the room's side, from the studs outwards.
        finish: Vec<Layer>,
        /// What covers the back.
        finish_back: Vec<Layer>,
        /// Doors and windows.
        openings: Vec<WallOpening>,
        /// Blocking between the studs.
        blocking: Vec<Blocking>,
        /// Anything worth remembering.
        note: Option<String>,
    }

    /// A door or window: the rough opening and the wood around it.
    pub struct WallOpening {
        /// Its name, such as `W1`.
        name: Label,
        /// Near edge of the clear opening between the jacks.
        from: Length,
        /// Clear width between the jacks.
        width: Length,
        /// Top of the sill; left out, it is a door and the bottom plates are cut.
        sill: Option<Length>,
        /// Underside of the header.
        head: Length,
        /// Studs to full height, each side.
        kings: u32 = 1,
        /// Studs under the header, each side.
        jacks: u32 = 1,
        /// How tall the header is; left out, it is taken to fill the space under the top plates.
        header_depth: Option<Length>,
    }

    /// Blocking: cut where studs cross it.
    pub struct Blocking {
        /// Where it starts along the wall.
        from: Length,
        /// Where it ends along the wall.
        to: Length,
        /// Height of its underside.
        bottom: Length,
        /// How tall it is.
        tall: Length = Length::inches(1.5),
        /// How deep it is, across the wall; left out, as deep as the studs.
        depth: Option<Length>,
        /// How far it stands back from the stud face on the room's side.
        back: Length = Length::ZERO,
    }
}
