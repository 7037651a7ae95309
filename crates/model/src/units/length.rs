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
