//! One figure of a code: a value by key, with where it stands and how far it can be trusted.

use crate::source::{Source, Status};
use truefall_model::units::{Angle, Grade, Length};

/// The units a figure or finding may have: inches, inches per foot, degrees, a share of a whole (0.40 is 40 percent),
/// nominal pipe diameters, a count, drainage fixture units, feet of water, pounds per square inch, minutes, degrees Fahrenheit.
pub const UNITS: &[&str] =
    &["in", "in/ft", "deg", "share", "diameters", "count", "dfu", "ft of water", "psi", "min", "deg F"];

/// One figure of a code.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its key, such as `trap-arm-length.2`.
    pub key: String,
    /// The chapter it stands in: one of [`crate::code::CHAPTERS`].
    pub chapter: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// One of [`UNITS`].
    pub unit: &'static str,
    /// The section or table of the code; empty for a figure of our own.
    pub section: String,
    /// How far it can be trusted.
    pub status: Status,
    /// What is worth knowing about it, in our own words.
    pub note: String,
    /// Where it comes from, with the local amendment if there is one.
    pub source: Source,
    /// Its place in the chapter as written: sizes rise there, which they do not by key.
    pub(super) place: usize,
}

impl Figure {
    /// The value as a length; the unit is `in`.
    pub fn length(&self) -> Length {
        debug_assert_eq!(self.unit, "in", "{}", self.key);
        Length::inches(self.value)
    }

    /// The value as a grade; the unit is `in/ft`.
    pub fn grade(&self) -> Grade {
        debug_assert_eq!(self.unit, "in/ft", "{}", self.key);
        Grade::per_foot(self.value)
    }

    /// The value as an angle; the unit is `deg`.
    pub fn angle(&self) -> Angle {
        debug_assert_eq!(self.unit, "deg", "{}", self.key);
        Angle::degrees(self.value)
    }

    /// Where it comes from.
    pub fn source(&self) -> Source {
        self.source.clone()
    }
}
