//! Families of fittings: what a fitting is, whatever its size.

use crate::units::{Angle, Grade};

choice! {
    /// What a fitting is, whatever its size. The word is the trade's.
    pub enum Family {
        /// 90 degrees, short.
        QuarterBend = "1/4 bend",
        /// 60 degrees.
        SixthBend = "1/6 bend",
        /// 45 degrees.
        EighthBend = "1/8 bend",
        /// 22.5 degrees.
        SixteenthBend = "1/16 bend",
        /// 90 degrees, spigot by hub.
        StreetQuarterBend = "street 1/4 bend",
        /// 45 degrees, spigot by hub.
        StreetEighthBend = "street 1/8 bend",
        /// 22.5 degrees, spigot by hub.
        StreetSixteenthBend = "street 1/16 bend",
        /// 90 degrees, long turn.
        LongTurnQuarterBend = "long-turn 1/4 bend",
        /// A 1/4 bend that is larger where the flange goes.
        ClosetBend = "closet bend",
        /// A 1/4 bend with a smaller hub at its heel, in line with its end towards the base.
        HeelInletBend = "heel-inlet 1/4 bend",
        /// A 1/4 bend with a smaller hub in its side, square to both of its ends.
        SideInletBend = "side-inlet 1/4 bend",
        /// A tee whose branch sweeps down into the run.
        SanitaryTee = "sanitary tee",
        /// A sanitary tee whose foot is a spigot.
        StreetSanitaryTee = "street sanitary tee",
        /// Two sweeping branches opposite each other.
        DoubleSanitaryTee = "double sanitary tee",
        /// Two opposite branches that sweep down longer than those of a double sanitary tee.
        DoubleFixtureFitting = "double fixture fitting",
        /// A branch at 45 degrees.
        Wye = "wye",
        /// A wye with a 1/8 bend in one piece.
        Combination = "combination",
        /// A tee without sweep or pitch, for dry vents only.
        VentTee = "vent tee",
        /// A short 90 without pitch, for dry vents only.
        VentEll = "vent ell",
        /// A tee whose branch takes a threaded plug, opened to clean.
        CleanoutTee = "cleanout tee",
        /// A tee whose branch takes a threaded plug, opened to put a test ball in.
        TestTee = "test tee",
        /// Set flush into a hub, to take a smaller pipe.
        Bushing = "bushing",
        /// A coupling from one size to another.
        Reducer = "reducer",
        /// Joins two pipe ends.
        Coupling = "coupling",
        /// A coupling without stops that slides along the pipe.
        SlipCoupling = "slip coupling",
        /// A sleeve and bands that join pipes of different outside diameters.
        TransitionCoupling = "transition coupling",
        /// A sleeve and bands that join hubless iron.
        HublessCoupling = "hubless coupling",
        /// Carries a closet on the floor; a hub below its ring.
        ClosetFlange = "closet flange",
        /// A closet flange whose throat goes into a hub.
        SpigotClosetFlange = "spigot closet flange",
        /// Closes a pipe end, over it.
        Cap = "cap",
        /// Closes a hub, in it.
        Plug = "plug",
        /// A trap: U-bend and ell.
        PTrap = "p-trap",
    }
}

/// Other words for a family that people write; the first words of [`Family::ALL`] are always understood.
pub const OTHER_WORDS: &[(&str, Family)] = &[
    ("quarter bend", Family::QuarterBend),
    ("short 1/4 bend", Family::QuarterBend),
    ("sixth bend", Family::SixthBend),
    ("eighth bend", Family::EighthBend),
    ("sixteenth bend", Family::SixteenthBend),
    ("street quarter bend", Family::StreetQuarterBend),
    ("street eighth bend", Family::StreetEighthBend),
    ("street sixteenth bend", Family::StreetSixteenthBend),
    ("1/4 street bend", Family::StreetQuarterBend),
    ("1/8 street bend", Family::StreetEighthBend),
    ("1/16 street bend", Family::StreetSixteenthBend),
    ("long-turn quarter bend", Family::LongTurnQuarterBend),
    ("reducing closet bend", Family::ClosetBend),
    ("san tee", Family::SanitaryTee),
    ("street san tee", Family::StreetSanitaryTee),
    ("street tee", Family::StreetSanitaryTee),
    ("double san tee", Family::DoubleSanitaryTee),
    ("sanitary cross", Family::DoubleSanitaryTee),
    ("double fixture tee", Family::DoubleFixtureFitting),
    ("low-heel inlet 1/4 bend", Family::HeelInletBend),
    ("combo", Family::Combination),
    ("combination wye and 1/8 bend", Family::Combination),
    ("long-turn tee-wye", Family::Combination),
    ("vent elbow", Family::VentEll),
    ("flush bushing", Family::Bushing),
    ("reducing coupling", Family::Reducer),
    ("increaser", Family::Reducer),
    ("repair coupling", Family::SlipCoupling),
    ("no-hub coupling", Family::HublessCoupling),
    ("trap", Family::PTrap),
    ("ptrap", Family::PTrap),
];

/// The grade that fittings of the drainage patterns are built to, by the drainage-pattern standard.
pub const DRAINAGE_PITCH: Grade = Grade::per_foot(0.25);

impl Family {
    /// How far a bend turns the way, without its pitch.
    pub fn bend(self) -> Option<Angle> {
        let degrees = match self {
            Self::QuarterBend
            | Self::StreetQuarterBend
            | Self::LongTurnQuarterBend
            | Self::ClosetBend
            | Self::HeelInletBend
            | Self::SideInletBend
            | Self::VentEll => 90.0,
            Self::SixthBend => 60.0,
            Self::EighthBend | Self::StreetEighthBend => 45.0,
            Self::SixteenthBend | Self::StreetSixteenthBend => 22.5,
            _ => return None,
        };
        Some(Angle::degrees(degrees))
    }

    /// A 1/4 bend that takes a second, smaller drain or vent.
    pub fn is_inlet_bend(self) -> bool {
        matches!(self, Self::HeelInletBend | Self::SideInletBend)
    }

    /// The end towards the base goes into the hub of the part before it.
    pub fn is_street(self) -> bool {
        matches!(
            self,
            Self::StreetQuarterBend
                | Self::StreetEighthBend
                | Self::StreetSixteenthBend
                | Self::StreetSanitaryTee
        )
    }

    /// The pitch built into it; level where its angles are true.
    pub fn pitch(self) -> Grade {
        match self {
            Self::QuarterBend
            | Self::StreetQuarterBend
            | Self::LongTurnQuarterBend
            | Self::ClosetBend
            | Self::HeelInletBend
            | Self::SideInletBend
            | Self::SanitaryTee
            | Self::StreetSanitaryTee
            | Self::DoubleSanitaryTee
            | Self::DoubleFixtureFitting
            | Self::Combination
            | Self::PTrap => DRAINAGE_PITCH,
            _ => Grade::LEVEL,
        }
    }

    /// It may carry air only.
    pub fn is_dry_only(self) -> bool {
        matches!(self, Self::VentTee | Self::VentEll)
    }

    /// How many sizes its full name carries when they differ: run, run, branch.
    pub fn sizes(self) -> usize {
        match self {
            Self::SanitaryTee
            | Self::StreetSanitaryTee
            | Self::Wye
            | Self::Combination
            | Self::HeelInletBend
            | Self::SideInletBend
            | Self::VentTee
            | Self::CleanoutTee
            | Self::TestTee => 3,
            Self::DoubleSanitaryTee | Self::DoubleFixtureFitting => 4,
            Self::Bushing | Self::Reducer | Self::ClosetBend | Self::ClosetFlange => 2,
            _ => 1,
        }
    }
}
