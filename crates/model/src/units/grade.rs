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

#[cfg(test)]
mod tests {
    use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    use proptest::prelude::*;

    use super::*;
    use crate::tolerance::near;

    #[test]
    fn reads_what_people_write() {
        let texts = [
            "1/4",
            "1/4 in per ft",
            "1/4 in/ft",
            "1/4\"/ft",
            "1/4 in. per foot",
            "0.25",
            ".25 in/ft",
            "1/4\" / '",
        ];
        for text in texts {
            assert_eq!(Grade::parse(text), Ok(Grade::per_foot(0.25)), "{text}");
        }
        assert_eq!(Grade::parse("2 %"), Ok(Grade::percent(2.0)));
        assert_eq!(Grade::parse("2%"), Ok(Grade::percent(2.0)));
        assert_eq!(Grade::parse("-1/8"), Ok(Grade::per_foot(-0.125)));
        assert_eq!(Grade::parse("1 1/2"), Ok(Grade::per_foot(1.5)));
    }

    #[test]
    fn refuses_nonsense_and_says_what_is_allowed() {
        for text in [
            "",
            "1/0",
            "1//4",
            "NaN",
            "1/4 in",
            "1/4 per ft",
            "1/4 in per",
            "1/4 in ft",
            "2 % 3",
            "45 deg",
            "5/4",
        ] {
            let error = Grade::parse(text).expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("\"{text}\" is not a grade; write it like 1/4, 1/4 in per ft, 0.25 or 2 %"),
            );
        }
        assert!(Grade::parse(&"9".repeat(400)).is_err());
    }

    // IPC table 704.1 gives the same grades in both ways of writing: 1/4 in per ft is a 2-percent slope, 1/8 a
    // 1-percent slope and 1/16 a 0.5-percent slope, each rounded (from memory).
    #[test]
    fn inches_per_foot_and_percent_agree() {
        for (per_foot, percent) in [(0.25, 2.0), (0.125, 1.0), (0.0625, 0.5)] {
            let exact = Grade::per_foot(per_foot).to_percent();
            assert!((exact - percent).abs() < percent * 0.05, "{exact} %");
        }
        assert!(near(Grade::percent(100.0), Grade::per_foot(12.0)));
    }

    // Common practice: at 1/4 in per ft a drain drops 2 in in 8 ft.
    #[test]
    fn fall_over_a_level_run() {
        assert_eq!(Grade::per_foot(0.25).over(Length::feet(8.0)), Length::inches(2.0));
        assert_eq!(Grade::from_rise(Length::inches(2.0), Length::feet(8.0)), Grade::per_foot(0.25));
        assert!(!Grade::from_rise(Length::inches(2.0), Length::ZERO).is_finite());
    }

    #[test]
    fn prints_fractions_only_where_they_are_true() {
        let prints = |per_foot| Grade::per_foot(per_foot).to_string();
        assert_eq!(prints(0.25), "1/4 in per ft");
        assert_eq!(prints(0.25 + 5e-10), "1/4 in per ft");
        assert_eq!(prints(0.25 - 2e-9), "0.250 in per ft");
        assert_eq!(prints(0.1767), "0.177 in per ft");
        assert_eq!(prints(-0.125), "-1/8 in per ft");
        assert_eq!(prints(1.5), "1 1/2 in per ft");
        assert_eq!(prints(3.0 / 64.0), "3/64 in per ft");
        assert_eq!(prints(-1e-12), "0 in per ft");
        assert_eq!(prints(-0.0001), "0.000 in per ft");
        assert_eq!(prints(f64::NAN), "NaN in per ft");
    }

    #[test]
    fn adds_and_scales() {
        let quarter = Grade::per_foot(0.25);
        assert_eq!((quarter - Grade::per_foot(0.5)).abs() + -quarter, Grade::LEVEL);
        assert_eq!(quarter * 2.0, Grade::per_foot(0.5));
    }

    proptest! {
        #[test]
        fn exact_reads_back_to_the_same_bits(per_foot in POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO) {
            let read = Grade::parse(&Grade::per_foot(per_foot).exact()).unwrap();
            prop_assert_eq!(read.to_per_foot().to_bits(), per_foot.to_bits());
        }

        #[test]
        fn what_is_printed_reads_back_to_three_decimals(per_foot in -12.0..12.0) {
            let read = Grade::parse(&Grade::per_foot(per_foot).to_string()).unwrap();
            prop_assert!((read.to_per_foot() - per_foot).abs() <= 0.0005 + SLACK);
        }

        #[test]
        fn reads_or_refuses_any_text(text in ".*|[-0-9 ./%\"inperft]{0,14}") {
            match Grade::parse(&text) {
                Ok(grade) => prop_assert!(grade.is_finite()),
                Err(error) => prop_assert_eq!(error.read, text),
            }
        }
    }
}
