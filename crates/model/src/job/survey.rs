//! The survey of what is there, as it is written on site: gaps from a plumb string to the barrel.

use crate::job::height::Height;
use crate::label::Label;
use crate::units::Length;

record! {
    /// One gap from the string to the barrel.
    pub struct Gap {
        /// How far above the mark from which all readings of the stack are counted.
        up: Length,
        /// From the string to the barrel, never to a hub.
        gap: Length,
        /// Reading error; a tape against a string is good to 1/16.
        error: Length = Length::inches(0.0625),
    }

    /// The string hung on one side of the barrel.
    pub struct PlumbString {
        /// The wall the string hangs towards, seen from the barrel.
        toward: Label,
        /// At two or more heights.
        gaps: Vec<Gap>,
    }
}

variants! {
    /// What is done about a lean when the stack is built.
    pub enum Correction {
        /// The joint under a fitting is set so that everything above it stands plumb.
        Plumb {
            /// The fitting above that joint.
            from: Label,
        },
        /// The stack is drawn over at a brace; it is straight from the joint under `from` to the brace.
        Brace {
            /// The fitting above the joint that gives.
            from: Label,
            /// Where the brace holds.
            at: Height,
            /// The wall it is drawn towards.
            toward: Label,
            /// How far it is drawn there.
            by: Length,
        },
    }
}
