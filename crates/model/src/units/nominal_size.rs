//! The nominal size of a pipe or fitting: a label to look real dimensions up by.

use std::fmt;

use super::reader::Reader;
use super::{Length, fraction};

/// A size as printed on the part (`1-1/2`). No dimension of the part is that long: 1-1/2 pipe in iron-pipe size
/// is 1.900 in outside (ASTM D2665). It is ordered by label, and always one of [`NominalSize::ALL`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NominalSize {
    eighths: u16,
}

/// A text that is not a known nominal size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{read}\" is not a nominal size; the sizes are {}", sizes())]
pub struct NominalSizeError {
    /// The text as it stood.
    pub read: String,
}

impl NominalSize {
    /// 3/8
    pub const THREE_EIGHTHS: Self = Self { eighths: 3 };
    /// 1/2
    pub const HALF: Self = Self { eighths: 4 };
    /// 3/4
    pub const THREE_QUARTERS: Self = Self { eighths: 6 };
    /// 1
    pub const ONE: Self = Self { eighths: 8 };
    /// 1-1/4
    pub const ONE_AND_A_QUARTER: Self = Self { eighths: 10 };
    /// 1-1/2
    pub const ONE_AND_A_HALF: Self = Self { eighths: 12 };
    /// 2
    pub const TWO: Self = Self { eighths: 16 };
    /// 2-1/2
    pub const TWO_AND_A_HALF: Self = Self { eighths: 20 };
    /// 3
    pub const THREE: Self = Self { eighths: 24 };
    /// 4
    pub const FOUR: Self = Self { eighths: 32 };
    /// 5
    pub const FIVE: Self = Self { eighths: 40 };
    /// 6
    pub const SIX: Self = Self { eighths: 48 };
    /// 8
    pub const EIGHT: Self = Self { eighths: 64 };

    /// Every known size, smallest first.
    pub const ALL: [Self; 13] = [
        Self::THREE_EIGHTHS,
        Self::HALF,
        Self::THREE_QUARTERS,
        Self::ONE,
        Self::ONE_AND_A_QUARTER,
        Self::ONE_AND_A_HALF,
        Self::TWO,
        Self::TWO_AND_A_HALF,
        Self::THREE,
        Self::FOUR,
        Self::FIVE,
        Self::SIX,
        Self::EIGHT,
    ];

    /// Reads `1-1/2`, `1 1/2`, `1.5`, `3 in` or `3"`.
    ///
    /// # Errors
    /// Anything else, and any size not in [`NominalSize::ALL`].
    pub fn parse(text: &str) -> Result<Self, NominalSizeError> {
        Self::read(text).ok_or_else(|| NominalSizeError { read: text.to_owned() })
    }

    fn read(text: &str) -> Option<Self> {
        let mut reader = Reader::new(text);
        let (number, _) = reader.number()?;
        reader.space();
        reader.inches();
        if !reader.at_end() {
            return None;
        }
        Self::ALL.into_iter().find(|size| size.nominal().to_inches() == number)
    }

    /// The number on the label as a length. It is no dimension of the part: use it only where a code counts in
    /// pipe diameters ("two diameters"), never for clearance, bores or cut lengths.
    pub fn nominal(self) -> Length {
        Length::inches(f64::from(self.eighths) / 8.0)
    }
}

/// As on the part: `1-1/2`, `3/4`, `2`.
impl fmt::Display for NominalSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let eighths = u64::from(self.eighths);
        f.pad(&fraction::mixed(eighths / 8, eighths % 8, 8).replace(' ', "-"))
    }
}

fn sizes() -> String {
    let labels: Vec<String> = NominalSize::ALL.iter().map(ToString::to_string).collect();
    labels.join(", ")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn reads_what_people_write() {
        for text in ["1-1/2", "1 1/2", "1.5", "1-1/2 in", "1 1/2\""] {
            assert_eq!(NominalSize::parse(text), Ok(NominalSize::ONE_AND_A_HALF), "{text}");
        }
        assert_eq!(NominalSize::parse("3 in"), Ok(NominalSize::THREE));
        assert_eq!(NominalSize::parse("3\""), Ok(NominalSize::THREE));
        assert_eq!(NominalSize::parse("3/8"), Ok(NominalSize::THREE_EIGHTHS));
    }

    // No 7 or 1-3/4 is made in drain pipe (ASTM D2665 and ASTM A888 size tables, from memory).
    #[test]
    fn refuses_sizes_that_are_not_made() {
        for text in ["", "7", "1-3/4", "0", "-3", "3 mm", "3 ft", "1.900", "3x2", "24/8"] {
            let error = NominalSize::parse(text).expect_err(text);
            assert_eq!(
                error.to_string(),
                format!(
                    "\"{text}\" is not a nominal size; \
                     the sizes are 3/8, 1/2, 3/4, 1, 1-1/4, 1-1/2, 2, 2-1/2, 3, 4, 5, 6, 8"
                ),
            );
        }
    }

    #[test]
    fn all_sizes_are_in_order_and_survive_print_and_read() {
        assert!(NominalSize::ALL.is_sorted_by(|a, b| a < b && a.nominal() < b.nominal()));
        for size in NominalSize::ALL {
            assert_eq!(NominalSize::parse(&size.to_string()), Ok(size));
            assert_eq!(NominalSize::parse(&size.nominal().exact()), Ok(size));
        }
        assert_eq!(NominalSize::TWO_AND_A_HALF.to_string(), "2-1/2");
        assert_eq!(NominalSize::ONE_AND_A_QUARTER.nominal() * 2.0, Length::inches(2.5));
    }

    proptest! {
        #[test]
        fn reads_or_refuses_any_text(text in ".*|[-0-9 ./\"in]{0,8}") {
            match NominalSize::parse(&text) {
                Ok(size) => prop_assert!(NominalSize::ALL.contains(&size)),
                Err(error) => prop_assert_eq!(error.read, text),
            }
        }
    }
}
