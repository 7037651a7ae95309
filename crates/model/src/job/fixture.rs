//! Fixtures: what drains, where it stands and where it wants its pipe.

use super::height::Height;
use super::point::Spot;
use crate::label::Label;
use crate::units::{Length, NominalSize};

choice! {
    /// What a fixture is.
    pub enum FixtureKind {
        /// Water closet, on a floor flange.
        Closet = "closet",
        /// Bathroom sink.
        Lavatory = "lavatory",
        /// Kitchen sink.
        KitchenSink = "kitchen_sink",
        /// Bathtub.
        Tub = "tub",
        /// Shower.
        Shower = "shower",
        /// Clothes washer box with its standpipe.
        WasherBox = "washer_box",
        /// Laundry tub.
        LaundryTub = "laundry_tub",
        /// Floor drain.
        FloorDrain = "floor_drain",
    }
}

choice! {
    /// How much water a closet takes for one flush.
    pub enum Flush {
        /// 1.6 gal (6 l) or less; a closet made for sale since the middle of the nineties.
        Low = "low",
        /// More than 1.6 gal; many an old closet that is kept.
        High = "high",
    }
}

choice! {
    /// How the waste of a fixture is joined to its trap, where a wall or floor hides the joint.
    pub enum WasteJoint {
        /// Nuts and washers: it can be taken apart, and leaks first.
        Slip = "slip",
        /// Glued, soldered or caulked.
        Tight = "tight",
    }
}

impl FixtureKind {
    /// The fixture drains through a flange on the floor and has its own trap.
    pub fn on_flange(self) -> bool {
        self == Self::Closet
    }

    /// The trap arm is stubbed out of the wall and the trap hung on it at finish.
    pub fn through_wall(self) -> bool {
        matches!(self, Self::Lavatory | Self::KitchenSink | Self::LaundryTub)
    }
}

record! {
    /// One fixture. What is left out is taken from the catalog's usual figures and shown as assumed.
    pub struct Fixture {
        /// Its name.
        name: Label,
        /// What it is.
        kind: FixtureKind,
        /// Centre of its drain on the plan; through a wall: where the stub crosses that wall's face.
        at: Spot,
        /// The floor it stands on.
        floor: Label,
        /// The wall it drains through or stands against.
        wall: Option<Label>,
        /// Height of the drain's centre where it must be; assumed by kind when left out.
        outlet: Option<Height>,
        /// Trap size; assumed by kind when left out.
        trap: Option<NominalSize>,
        /// How much a closet flushes; nothing else has it.
        flush: Flush = Flush::Low,
        /// How a hidden waste is joined to its trap; of a tub it is asked for when left out.
        waste_joint: Option<WasteJoint>,
        /// Flood level; assumed by kind when left out.
        rim: Option<Height>,
        /// Trap weir to the finished wall, for a trap hung at finish; assumed when left out.
        weir_out: Option<Length>,
        /// How far off the pipe may land; assumed by kind when left out.
        tolerance: Option<Length>,
        /// Anything worth remembering.
        note: Option<String>,
    }
}
