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
