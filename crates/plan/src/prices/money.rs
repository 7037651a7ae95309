//! A sum of money, in hundredths of the user's own currency, which is never asked.

/// A sum; below zero what is saved the other way round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money {
    hundredths: i64,
}

/// Digits before the point beyond which a price is taken for a slip.
const MOST_DIGITS: usize = 9;

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self { hundredths: 0 };

    /// A sum in hundredths.
    pub const fn hundredths(hundredths: i64) -> Self {
        Self { hundredths }
    }

    /// The sum in hundredths.
    pub const fn to_hundredths(self) -> i64 {
        self.hundredths
    }

    /// Reads a price: digits, and behind a point one or two more. Nothing else, so that a slip is not a price.
    pub fn parse(text: &str) -> Option<Self> {
        let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
        let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
        if !digits(whole) || !digits(part) || whole.len() > MOST_DIGITS || part.len() > 2 {
            return None;
        }
        let whole: i64 = whole.parse().ok()?;
        let shown: i64 = part.parse().ok()?;
        let hundredths = if part.len() == 1 { shown * 10 } else { shown };
        Some(Self { hundredths: whole * 100 + hundredths })
    }

    /// So many times the sum.
    #[must_use]
    pub fn times(self, count: usize) -> Self {
        Self { hundredths: self.hundredths.saturating_mul(i64::try_from(count).unwrap_or(i64::MAX)) }
    }

    /// The sum for so many of what one costs, to the nearest hundredth.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        Self { hundredths: (self.hundredths as f64 * by).round() as i64 }
    }
}

impl std::ops::Add for Money {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self { hundredths: self.hundredths.saturating_add(other.hundredths) }
    }
}

impl std::ops::Sub for Money {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self { hundredths: self.hundredths.saturating_sub(other.hundredths) }
    }
}

impl std::iter::Sum for Money {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, |sum, one| sum + one)
    }
}

impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.hundredths < 0 { "-" } else { "" };
        let sum = self.hundredths.unsigned_abs();
        f.pad(&format!("{sign}{}.{:02}", sum / 100, sum % 100))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_is_read_to_the_hundredth_and_printed_so() {
        for (text, printed) in [("2", "2.00"), ("2.5", "2.50"), ("0.07", "0.07"), ("120.00", "120.00")] {
            assert_eq!(Money::parse(text).unwrap().to_string(), printed);
        }
        for text in ["", ".", "2.", ".5", "-1", "1,50", "2.505", "1e3", "two", "1234567890", "+2"] {
            assert_eq!(Money::parse(text), None, "{text}");
        }
    }

    #[test]
    fn sums_keep_their_sign() {
        assert_eq!((Money::hundredths(150) - Money::hundredths(275)).to_string(), "-1.25");
        assert_eq!(Money::hundredths(10).scaled(2.5), Money::hundredths(25));
    }
}
