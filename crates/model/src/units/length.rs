//! A length, kept in inches; read and printed in feet, inches and fractions as on a tape.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use super::fraction;
use super::reader::{Form, Reader};

/// Millimetres in an inch, exact by definition since 1959 (NIST SP 811, appendix B.6).
const MM_PER_INCH: f64 = 25.4;
const INCHES_PER_FOOT: f64 = 12.0;

/// A signed length. What it is measured from is the business of whoever holds it.
///
/// The constructors take any number, so that a length can be a constant; [`Length::parse`] gives finite ones
/// only, and [`Length::is_finite`] tells.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Length {
    inches: f64,
}

/// How fine the printed fraction of an inch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fineness {
    /// To 1/16 in, the marks of a common tape.
    Sixteenth,
    /// To 1/8 in, as fine as most rough work is cut.
    Eighth,
}

/// A text that is not a length.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{read}\" is not a length; write it like 14 3/4, 1' 2 3/4\", 2.5 or 600 mm")]
pub struct LengthError {
    /// The text as it stood.
    pub read: String,
}

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self::inches(0.0);

    /// From inches.
    pub const fn inches(inches: f64) -> Self {
        Self { inches }
    }

    /// From feet.
    pub const fn feet(feet: f64) -> Self {
        Self::inches(feet * INCHES_PER_FOOT)
    }

    /// From millimetres.
    pub const fn mm(mm: f64) -> Self {
        Self::inches(mm / MM_PER_INCH)
    }

    /// In inches.
    pub const fn to_inches(self) -> f64 {
        self.inches
    }

    /// In feet.
    pub const fn to_feet(self) -> f64 {
        self.inches / INCHES_PER_FOOT
    }

    /// In millimetres.
    pub const fn to_mm(self) -> f64 {
        self.inches * MM_PER_INCH
    }

    /// Without its sign.
    pub const fn abs(self) -> Self {
        Self::inches(self.inches.abs())
    }

    /// The longer of the two; a NaN gives way to the other.
    pub const fn max(self, other: Self) -> Self {
        Self::inches(self.inches.max(other.inches))
    }

    /// The shorter of the two; a NaN gives way to the other.
    pub const fn min(self, other: Self) -> Self {
        Self::inches(self.inches.min(other.inches))
    }

    /// Neither infinite nor NaN.
    pub const fn is_finite(self) -> bool {
        self.inches.is_finite()
    }

    /// Reads a length as people write one: `14 3/4`, `14-3/4"`, `1' 2 3/4"`, `1 ft 2 3/4 in`, `2.5`, `600 mm`
    /// or `60 cm`, with a minus for the whole in front. A bare number is inches.
    ///
    /// # Errors
    /// Anything else, also a fraction not less than one (`143/4` has most likely lost its space), 12 or more
    /// inches beside feet, and part feet beside inches: each is more often a slip than meant.
    pub fn parse(text: &str) -> Result<Self, LengthError> {
        Self::read(text)
            .filter(|length| length.is_finite())
            .ok_or_else(|| LengthError { read: text.to_owned() })
    }

    fn read(text: &str) -> Option<Self> {
        let mut reader = Reader::new(text);
        let minus = reader.minus();
        let (number, form) = reader.number()?;
        reader.space();
        let length = if reader.feet() {
            Self::feet(number) + Self::read_inches_after_feet(&mut reader, form)?
        } else if form != Form::Fraction && reader.word(&["mm"]) {
            Self::mm(number)
        } else if form != Form::Fraction && reader.word(&["cm"]) {
            Self::mm(number * 10.0)
        } else {
            reader.inches();
            Self::inches(number)
        };
        reader.at_end().then_some(if minus { -length } else { length })
    }

    fn read_inches_after_feet(reader: &mut Reader<'_>, feet: Form) -> Option<Self> {
        reader.space();
        if reader.at_end() {
            return Some(Self::ZERO);
        }
        if feet != Form::Whole {
            return None;
        }
        if reader.mark(&['-']) {
            reader.space();
        }
        let (inches, _) = reader.number()?;
        reader.space();
        reader.inches();
        (inches < INCHES_PER_FOOT).then_some(Self::inches(inches))
    }

    /// As the trade writes it, rounded half away from zero: `14 3/4"` below two feet, `2' 3 3/4"` from there.
    ///
    /// The rounding comes first, so 23.99 in is `2' 0"`. A length that is not finite, or too great to count in
    /// sixteenths, is printed as its plain number of inches.
    pub fn to_trade(self, fineness: Fineness) -> String {
        const PER_INCH: u64 = 16;
        const PER_FOOT: u64 = 12 * PER_INCH;
        const COUNTABLE: f64 = (1_u64 << 53) as f64;

        let size = self.inches.abs();
        let sixteenths = match fineness {
            Fineness::Sixteenth => (size * 16.0).round(),
            Fineness::Eighth => (size * 8.0).round() * 2.0,
        };
        if sixteenths.is_nan() || sixteenths >= COUNTABLE {
            return format!("{}\"", self.inches);
        }
        let sixteenths = sixteenths as u64;
        let sign = if self.inches < 0.0 && sixteenths > 0 { "-" } else { "" };
        let feet = if sixteenths < 2 * PER_FOOT { 0 } else { sixteenths / PER_FOOT };
        let rest = sixteenths - feet * PER_FOOT;
        let inches = fraction::mixed(rest / PER_INCH, rest % PER_INCH, PER_INCH);
        match feet {
            0 => format!("{sign}{inches}\""),
            // The 0 stays between the feet and a bare fraction: 2' 1/2" would be taken for two and a half feet.
            feet if rest < PER_INCH && rest > 0 => format!("{sign}{feet}' 0 {inches}\""),
            feet => format!("{sign}{feet}' {inches}\""),
        }
    }

    /// In inches without loss: [`Length::parse`] reads back the very same number. A fraction where one with a
    /// denominator up to 64 is exact (`14 3/4`), else the shortest decimal that does it (`14.3`).
    ///
    /// Holds for finite lengths; the text of any other is refused when read.
    pub fn exact(self) -> String {
        fraction::or_decimal(self.inches)
    }
}

/// To 1/16 in; see [`Length::to_trade`].
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.to_trade(Fineness::Sixteenth))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::inches(self.inches + other.inches)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::inches(self.inches - other.inches)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self::inches(-self.inches)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::inches(self.inches * times)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, by: f64) -> Self {
        Self::inches(self.inches / by)
    }
}

/// How many times the other goes into this one.
impl Div for Length {
    type Output = f64;
    fn div(self, by: Self) -> f64 {
        self.inches / by.inches
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn reads(text: &str, inches: f64) {
        assert_eq!(Length::parse(text), Ok(Length::inches(inches)), "{text}");
    }

    #[track_caller]
    fn prints(inches: f64, text: &str) {
        assert_eq!(Length::inches(inches).to_string(), text);
    }

    // How a tape is read, common practice: 14 3/4 in is 14.75 in and 1 ft is 12 in.
    #[test]
    fn reads_what_people_write() {
        for text in
            ["14 3/4", "14-3/4", "14 3/4\"", "14 3/4 in", " 14  3/4in. ", "14 3/4\u{2033}", "14.75 inches"]
        {
            reads(text, 14.75);
        }
        for text in [
            "1' 2 3/4\"",
            "1'-2 3/4\"",
            "1' - 2-3/4",
            "1 ft 2 3/4 in",
            "1\u{2032}2 3/4\u{2033}",
            "1 FT. 2.75",
        ] {
            reads(text, 14.75);
        }
        reads("2.5", 2.5);
        reads(".5", 0.5);
        reads("3/4", 0.75);
        reads("7 1/3", 7.0 + 1.0 / 3.0);
        reads("2.5 ft", 30.0);
        reads("3'", 36.0);
        reads("-4 1/2", -4.5);
        reads("- 4 1/2", -4.5);
        reads("\u{2212}1' 6\"", -18.0);
        reads("0", 0.0);
    }

    // NIST SP 811, appendix B.6: 1 in = 25.4 mm exactly, so 1 ft = 304.8 mm and 600 mm = 23.622 in.
    #[test]
    fn metric_is_held_to_the_international_inch() {
        reads("25.4 mm", 1.0);
        reads("2.54 cm", 1.0);
        assert_eq!(Length::feet(1.0).to_mm(), 12.0 * 25.4);
        assert_eq!(Length::parse("60 cm"), Length::parse("600 mm"));
        assert_eq!(format!("{:.3}", Length::mm(600.0).to_inches()), "23.622");
        prints(Length::mm(600.0).to_inches(), "23 5/8\"");
    }

    #[test]
    fn refuses_nonsense_and_says_what_is_allowed() {
        let nonsense = [
            "",
            " ",
            "-",
            "--4",
            "+4",
            ".",
            "2.",
            "1.2.3",
            "14//3",
            "/3",
            "14/",
            "1/0",
            "0/0",
            "143/4",
            "4/4",
            "14 5/4",
            "3 4",
            "14 - 3/4",
            "14 -3/4",
            "2.5 3/4",
            "14 3/4 3/4",
            "NaN",
            "inf",
            "infinity",
            "1e3",
            "0x10",
            "1' 14'",
            "1' 14\"",
            "1.5' 3\"",
            "1'-",
            "1' -",
            "1' --2",
            "1'-2' 3",
            "12 \" 3",
            "6 in 2 ft",
            "14 3/4 m",
            "14 3/4 mm",
            "5 mm 3",
            "14\"x",
            "x14",
            "14,5",
            "one",
            "\u{bd}",
        ];
        for text in nonsense {
            let error = Length::parse(text).expect_err(text);
            assert_eq!(error.read, text);
            assert_eq!(
                error.to_string(),
                format!("\"{text}\" is not a length; write it like 14 3/4, 1' 2 3/4\", 2.5 or 600 mm"),
            );
        }
        let too_long = "9".repeat(400);
        assert!(Length::parse(&too_long).is_err());
        assert!(
            Length::parse(&format!("{}'", "9".repeat(308))).is_err(),
            "overflows once turned into inches"
        );
    }

    // Feet and inches from two feet up, halves away from zero: common practice.
    #[test]
    fn prints_the_trade_way() {
        prints(14.75, "14 3/4\"");
        prints(14.0, "14\"");
        prints(0.0, "0\"");
        prints(-0.0, "0\"");
        prints(-0.01, "0\"");
        prints(0.0625, "1/16\"");
        prints(-4.5, "-4 1/2\"");
        prints(12.0, "12\"");
        prints(27.75, "2' 3 3/4\"");
        prints(-27.75, "-2' 3 3/4\"");
        prints(24.5, "2' 0 1/2\"");
        prints(23.9375, "23 15/16\"");
        prints(23.99, "2' 0\"");
        prints(35.99, "3' 0\"");
        prints(13.999, "14\"");
        prints(1.0 / 32.0, "1/16\"");
        prints(-1.0 / 32.0, "-1/16\"");
        prints(1.0 / 32.0 - 1e-12, "0\"");
        assert_eq!(format!("{:>8}|", Length::inches(2.0)), "      2\"|");
    }

    #[test]
    fn eighths_round_and_carry() {
        let eighths = |inches| Length::inches(inches).to_trade(Fineness::Eighth);
        assert_eq!(eighths(14.0625), "14 1/8\"");
        assert_eq!(eighths(-14.0625), "-14 1/8\"");
        assert_eq!(eighths(14.06), "14\"");
        assert_eq!(eighths(23.9375), "2' 0\"");
        assert_eq!(eighths(0.375), "3/8\"");
    }

    #[test]
    fn what_can_not_be_counted_is_printed_plainly() {
        prints(f64::INFINITY, "inf\"");
        prints(f64::NAN, "NaN\"");
        prints(1e20, "100000000000000000000\"");
    }

    #[test]
    fn exact_is_a_fraction_or_the_shortest_decimal() {
        let exact = |inches| Length::inches(inches).exact();
        assert_eq!(exact(14.75), "14 3/4");
        assert_eq!(exact(30.0), "30");
        assert_eq!(exact(-1.0 / 64.0), "-1/64");
        assert_eq!(exact(14.3), "14.3");
        assert_eq!(exact(1.0 / 128.0), "0.0078125");
        assert_eq!(exact(-0.0), "-0");
    }

    #[test]
    fn every_sixteenth_to_a_hundred_feet_survives_print_and_read() {
        for sixteenths in -19_200_i32..=19_200 {
            let length = Length::inches(f64::from(sixteenths) / 16.0);
            assert_eq!(Length::parse(&length.to_string()), Ok(length));
            assert_eq!(Length::parse(&length.exact()), Ok(length));
        }
    }

    #[test]
    fn adds_and_divides() {
        let cuts = [Length::inches(1.5), Length::feet(1.0), Length::inches(0.25)];
        assert_eq!(cuts.into_iter().sum::<Length>(), Length::inches(13.75));
        assert_eq!(Length::feet(4.0) / Length::inches(16.0), 3.0);
        assert_eq!(-(Length::inches(3.0) - Length::inches(5.0)) * 2.0 / 4.0, Length::inches(1.0));
        assert_eq!(Length::inches(-3.0).abs().max(Length::inches(2.0)), Length::inches(3.0));
        assert_eq!(Length::inches(-3.0).min(Length::ZERO), Length::inches(-3.0));
        assert!(!Length::inches(f64::NAN).is_finite());
    }

    proptest! {
        #[test]
        fn exact_reads_back_to_the_same_bits(inches in POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO) {
            let read = Length::parse(&Length::inches(inches).exact()).unwrap();
            prop_assert_eq!(read.to_inches().to_bits(), inches.to_bits());
        }

        #[test]
        fn exact_holds_for_lengths_of_a_house(inches in -2000.0..2000.0) {
            let read = Length::parse(&Length::inches(inches).exact()).unwrap();
            prop_assert_eq!(read.to_inches().to_bits(), f64::to_bits(inches));
        }

        #[test]
        fn printing_moves_a_length_by_no_more_than_half_a_mark(inches in -2000.0..2000.0) {
            let length = Length::inches(inches);
            for (fineness, half_a_mark) in [(Fineness::Sixteenth, 1.0 / 32.0), (Fineness::Eighth, 1.0 / 16.0)] {
                let read = Length::parse(&length.to_trade(fineness)).unwrap();
                prop_assert!((read - length).abs().to_inches() <= half_a_mark);
            }
        }

        #[test]
        fn reads_or_refuses_any_text(text in ".*") {
            if let Err(error) = Length::parse(&text) {
                prop_assert_eq!(error.read, text);
            }
        }

        #[test]
        fn what_is_read_from_near_misses_is_finite(text in "[-0-9 ./'\"\u{2032}\u{2033}inftmc]{0,12}") {
            if let Ok(length) = Length::parse(&text) {
                prop_assert!(length.is_finite());
            }
        }
    }
}
