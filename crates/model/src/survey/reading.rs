//! One reading: a height, the gap from the plumb string to the barrel there, and how well it was read.

use std::fmt;

/// A gap read from a plumb string to the barrel of a pipe.
///
/// The fields are as written; [`fit`](super::fit) refuses what cannot be a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Height of the reading in inches, up from any one level datum. Taken as exact.
    pub height_in: f64,
    /// Level gap in inches from the string to the near face of the barrel. Below zero where the string was held
    /// on the far side of the mark that gaps are counted from.
    pub gap_in: f64,
    /// Standard error of the gap in inches, above zero. A tape and a steady string give about 1/16 in (common
    /// practice); a swinging bob more.
    pub error_in: f64,
}

/// A number of a [`Reading`], for saying which one is at fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingPart {
    /// [`Reading::height_in`].
    Height,
    /// [`Reading::gap_in`].
    Gap,
    /// [`Reading::error_in`].
    Error,
}

impl fmt::Display for ReadingPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Height => "height",
            Self::Gap => "gap",
            Self::Error => "reading error",
        })
    }
}

impl Reading {
    /// The first of the three numbers that is NaN or infinite, if any.
    pub(super) fn not_finite(&self) -> Option<(ReadingPart, f64)> {
        [
            (ReadingPart::Height, self.height_in),
            (ReadingPart::Gap, self.gap_in),
            (ReadingPart::Error, self.error_in),
        ]
        .into_iter()
        .find(|(_, read)| !read.is_finite())
    }
}
