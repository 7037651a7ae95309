//! An angle, kept in radians; read and printed in degrees.

use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

use super::reader::Reader;

/// A signed angle. Which way is positive is the business of whoever holds it. It is not brought into one turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle {
    radians: f64,
}

/// A text that is not an angle.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{read}\" is not an angle; write it like 45, 22.5 deg or 45\u{b0}")]
pub struct AngleError {
    /// The text as it stood.
    pub read: String,
}

impl Angle {
    /// No turn.
    pub const ZERO: Self = Self::radians(0.0);

    /// From radians.
    pub const fn radians(radians: f64) -> Self {
        Self { radians }
    }

    /// From degrees.
    pub const fn degrees(degrees: f64) -> Self {
        Self::radians(degrees.to_radians())
    }

    /// In radians.
    pub const fn to_radians(self) -> f64 {
        self.radians
    }

    /// In degrees.
    pub const fn to_degrees(self) -> f64 {
        self.radians.to_degrees()
    }

    /// Without its sign.
    pub const fn abs(self) -> Self {
        Self::radians(self.radians.abs())
    }

    /// Neither infinite nor NaN.
    pub const fn is_finite(self) -> bool {
        self.radians.is_finite()
    }

    /// Reads `45`, `22 1/2`, `45 deg`, `45°` or `0.5 rad`, with a minus in front. A bare number is degrees.
    ///
    /// # Errors
    /// Anything else, also a fraction not less than one.
    pub fn parse(text: &str) -> Result<Self, AngleError> {
        Self::read(text).filter(|angle| angle.is_finite()).ok_or_else(|| AngleError { read: text.to_owned() })
    }

    fn read(text: &str) -> Option<Self> {
        let mut reader = Reader::new(text);
        let minus = reader.minus();
        let (number, _) = reader.number()?;
        reader.space();
        let angle = if reader.word(&["rad", "radian", "radians"]) {
            Self::radians(number)
        } else {
            let _ = reader.mark(&['\u{b0}']) || reader.word(&["deg", "degree", "degrees"]);
            Self::degrees(number)
        };
        reader.at_end().then_some(if minus { -angle } else { angle })
    }

    /// Without loss: [`Angle::parse`] reads back the very same number. The fewest decimals of a degree that do
    /// it (`22.5 deg`); where no number of degrees does, in radians (`0.3 rad`), since some radians lie between
    /// two neighbouring numbers of degrees. Holds for finite angles.
    pub fn exact(self) -> String {
        let degrees = self.to_degrees();
        (0..=17)
            .map(|decimals| format!("{degrees:.decimals$} deg"))
            .find(|text| Self::parse(text).is_ok_and(|read| read.radians.to_bits() == self.radians.to_bits()))
            .unwrap_or_else(|| format!("{} rad", self.radians))
    }
}

/// In degrees to one decimal, below one degree to two: a lean of 0.36° matters to a grade.
impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let degrees = self.to_degrees();
        let hundredths = (degrees * 100.0).round() / 100.0;
        // Adding zero turns minus zero into zero.
        let text = if hundredths.abs() < 1.0 {
            format!("{:.2}\u{b0}", hundredths + 0.0)
        } else {
            format!("{:.1}\u{b0}", (degrees * 10.0).round() / 10.0)
        };
        f.pad(&text)
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::radians(self.radians + other.radians)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::radians(self.radians - other.radians)
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self::radians(-self.radians)
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::radians(self.radians * times)
    }
}

impl Div<f64> for Angle {
    type Output = Self;
    fn div(self, by: f64) -> Self {
        Self::radians(self.radians / by)
    }
}
