//! What one of an item is: a piece of it, a foot, or a length as sold.

use truefall_model::units::Length;

/// What a count or a price is of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unit {
    /// One.
    Each,
    /// A foot of pipe; in prices only.
    Foot,
    /// A pipe of a length as sold.
    Length(Length),
}

impl Unit {
    /// Reads `each`, `foot` or a length such as `10' 0`.
    pub fn parse(text: &str) -> Option<Self> {
        match text.to_lowercase().as_str() {
            "each" => Some(Self::Each),
            "foot" | "ft" => Some(Self::Foot),
            _ => Length::parse(text).ok().filter(|l| *l > Length::ZERO).map(Self::Length),
        }
    }

    /// Whether both are the same, lengths to a sixty-fourth of an inch.
    pub fn same(self, other: Self) -> bool {
        match (self, other) {
            (Self::Length(a), Self::Length(b)) => (a - b).abs().to_inches() < 1.0 / 64.0,
            _ => self == other,
        }
    }
}

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Each => f.pad("each"),
            Self::Foot => f.pad("foot"),
            // Without the mark of inches, which a table of values would have to quote.
            Self::Length(length) => f.pad(length.to_string().trim_end_matches('"')),
        }
    }
}
