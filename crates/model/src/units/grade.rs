//! The grade of a drain: fall per level run, in inches per foot. Never an angle.

use std::fmt;
use std::ops::{Add, Mul, Neg, Sub};

use super::reader::Reader;
use super::{Length, fraction};
use crate::tolerance::SLACK;

/// A percent is a hundredth of a foot in a foot: 0.12 in.
const INCHES_PER_FOOT: f64 = 12.0;

/// Inches of fall for each foot of level run, along the way the water goes; negative where it runs uphill.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Grade {
    per_foot: f64,
}

/// A text that is not a grade.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{read}\" is not a grade; write it like 1/4, 1/4 in per ft, 0.25 or 2 %")]
pub struct GradeError {
    /// The text as it stood.
    pub read: String,
}

impl Grade {
    /// Dead level.
    pub const LEVEL: Self = Self::per_foot(0.0);

    /// From inches of fall per foot of level run.
    pub const fn per_foot(inches: f64) -> Self {
        Self { per_foot: inches }
    }

    /// From a percentage: 100 falls as much as it runs.
    pub const fn percent(percent: f64) -> Self {
        Self::per_foot(percent * INCHES_PER_FOOT / 100.0)
    }

    /// From the difference in height between two points and the level distance between them.
    ///
    /// Over no level distance it is infinite or NaN: a plumb pipe has no grade.
    pub fn from_rise(rise: Length, level: Length) -> Self {
        Self::per_foot(rise.to_inches() * INCHES_PER_FOOT / level.to_inches())
    }

    /// In inches per foot.
    pub const fn to_per_foot(self) -> f64 {
        self.per_foot
    }

    /// In percent.
    pub const fn to_percent(self) -> f64 {
        self.per_foot * 100.0 / INCHES_PER_FOOT
    }

    /// The fall over a level distance (not over the length of the sloping pipe).
    pub fn over(self, level: Length) -> Length {
        level * self.per_foot / INCHES_PER_FOOT
    }

    /// Without its sign.
    pub const fn abs(self) -> Self {
        Self::per_foot(self.per_foot.abs())
    }

    /// Neither infinite nor NaN.
    pub const fn is_finite(self) -> bool {
        self.per_foot.is_finite()
    }

    /// Reads `1/4`, `1/4 in per ft`, `1/4"/ft`, `0.25` or `2 %`, with a minus in front for a back fall. A bare
    /// number is inches per foot.
    ///
    /// # Errors
    /// Anything else, also a fraction not less than one.
    pub fn parse(text: &str) -> Result<Self, GradeError> {
        Self::read(text).filter(|grade| grade.is_finite()).ok_or_else(|| GradeError { read: text.to_owned() })
    }

    fn read(text: &str) -> Option<Self> {
        let mut reader = Reader::new(text);
        let minus = reader.minus();
        let (number, _) = reader.number()?;
        reader.space();
        let grade = if reader.mark(&['%']) {
            Self::percent(number)
        } else {
            // Inches alone are a length; they make a grade only with the foot they fall in.
            if reader.inches() {
                reader.space();
                if !(reader.mark(&['/']) || reader.word(&["per"])) {
                    return None;
                }
                reader.space();
                if !reader.feet() {
                    return None;
                }
            }
            Self::per_foot(number)
        };
        reader.at_end().then_some(if minus { -grade } else { grade })
    }

    /// Without loss: [`Grade::parse`] reads back the very same number. Holds for finite grades.
    pub fn exact(self) -> String {
        format!("{} in per ft", fraction::or_decimal(self.per_foot))
    }
}

/// A fraction where the grade is a multiple of 1/64 (`1/4 in per ft`), else three decimals
/// (`0.177 in per ft`): a grade that no level is marked with should not look as if it were.
impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let nearest = (self.per_foot * 64.0).round() / 64.0;
        let marked = if (nearest - self.per_foot).abs() <= SLACK {
            // Adding zero turns minus zero into zero.
            fraction::of_sixty_fourths(nearest + 0.0)
        } else {
            None
        };
        let number = marked.unwrap_or_else(|| {
            let rounded = format!("{:.3}", self.per_foot);
            if rounded == "-0.000" { "0.000".to_owned() } else { rounded }
        });
        f.pad(&format!("{number} in per ft"))
    }
}

impl Add for Grade {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::per_foot(self.per_foot + other.per_foot)
    }
}

impl Sub for Grade {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::per_foot(self.per_foot - other.per_foot)
    }
}

impl Neg for Grade {
    type Output = Self;
    fn neg(self) -> Self {
        Self::per_foot(-self.per_foot)
    }
}

impl Mul<f64> for Grade {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::per_foot(self.per_foot * times)
    }
}
