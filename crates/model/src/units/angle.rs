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

#[cfg(test)]
mod tests {
    use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn reads_what_people_write() {
        for text in ["45", "45 deg", "45\u{b0}", "45.0 degrees", "45 DEG."] {
            assert_eq!(Angle::parse(text), Ok(Angle::degrees(45.0)), "{text}");
        }
        assert_eq!(Angle::parse("22 1/2"), Ok(Angle::degrees(22.5)));
        assert_eq!(Angle::parse("-90"), Ok(Angle::degrees(-90.0)));
        assert_eq!(Angle::parse("0.5 rad"), Ok(Angle::radians(0.5)));
    }

    #[test]
    fn refuses_nonsense_and_says_what_is_allowed() {
        for text in ["", "deg", "45 x", "45 in", "4 5", "NaN", "1/0", "45\u{b0}\u{b0}", "1/4 in per ft"] {
            let error = Angle::parse(text).expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("\"{text}\" is not an angle; write it like 45, 22.5 deg or 45\u{b0}"),
            );
        }
        assert!(Angle::parse(&"9".repeat(400)).is_err());
    }

    // Half a turn is pi radians: ISO 80000-3.
    #[test]
    fn half_a_turn_is_pi() {
        assert_eq!(Angle::degrees(180.0).to_radians(), std::f64::consts::PI);
        assert_eq!(Angle::radians(std::f64::consts::FRAC_PI_2).to_degrees(), 90.0);
    }

    #[test]
    fn prints_more_below_one_degree() {
        let prints = |degrees| Angle::degrees(degrees).to_string();
        assert_eq!(prints(45.0), "45.0\u{b0}");
        assert_eq!(prints(-22.5), "-22.5\u{b0}");
        assert_eq!(prints(0.364), "0.36\u{b0}");
        assert_eq!(prints(0.999), "1.0\u{b0}");
        assert_eq!(prints(-0.001), "0.00\u{b0}");
    }

    // The trade's bends: 1/4 is 90 degrees, 1/8 is 45, 1/16 is 22-1/2, 1/6 is 60, 1/5 is 72 (common practice).
    #[test]
    fn the_bends_are_written_in_plain_degrees() {
        for (parts, text) in
            [(4.0, "90 deg"), (8.0, "45 deg"), (16.0, "22.5 deg"), (6.0, "60 deg"), (5.0, "72 deg")]
        {
            assert_eq!(Angle::degrees(360.0 / parts).exact(), text);
        }
    }

    #[test]
    fn exact_turns_to_radians_only_between_two_numbers_of_degrees() {
        let mut radians = 1.0_f64;
        let mut in_radians = 0;
        for _ in 0..1000 {
            radians = radians.next_up();
            let text = Angle::radians(radians).exact();
            assert_eq!(Angle::parse(&text), Ok(Angle::radians(radians)), "{text}");
            in_radians += usize::from(text.ends_with("rad"));
        }
        // Near 1 rad, degrees lie 2^-47 apart, which is 2^-52.8 in radians, and below 64 none is missed; from
        // 64 degrees (1.117 rad) they lie 2^-46 apart, wider than the 2^-52 between radians.
        assert_eq!(in_radians, 0);
        assert!((0..1000).any(|n| Angle::radians(1.2 + f64::from(n) * 1e-3).exact().ends_with("rad")));
    }

    #[test]
    fn adds_and_scales() {
        let right = Angle::degrees(90.0);
        assert_eq!((right - right * 2.0).abs(), right);
        assert_eq!(-right + right / 1.0, Angle::ZERO);
    }

    proptest! {
        #[test]
        fn exact_reads_back_to_the_same_bits(radians in POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO) {
            let read = Angle::parse(&Angle::radians(radians).exact()).unwrap();
            prop_assert_eq!(read.to_radians().to_bits(), radians.to_bits());
        }

        #[test]
        fn exact_holds_within_a_turn(radians in -7.0..7.0) {
            let read = Angle::parse(&Angle::radians(radians).exact()).unwrap();
            prop_assert_eq!(read.to_radians().to_bits(), f64::to_bits(radians));
        }

        #[test]
        fn reads_or_refuses_any_text(text in ".*|[-0-9 ./degra\u{b0}]{0,12}") {
            match Angle::parse(&text) {
                Ok(angle) => prop_assert!(angle.is_finite()),
                Err(error) => prop_assert_eq!(error.read, text),
            }
        }
    }
}
