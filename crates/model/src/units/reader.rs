//! Reads the numbers and marks that people write on a framing plan, left to right.
//!
//! It knows signs, whole numbers, decimals, fractions and unit words; what they add up to is the business of
//! each quantity. It takes no exponent and no `inf` or `NaN`. A fraction must be less than one: `143/4` is far
//! more often `14 3/4` with the space lost than 35 3/4, and a hole drilled on the guess can't be undone.

/// How a number was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Digits only.
    Whole,
    /// With a decimal point.
    Decimal,
    /// With a fraction bar.
    Fraction,
}

/// The text not yet read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reader<'a> {
    rest: &'a str,
}

impl<'a> Reader<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Self { rest: text.trim() }
    }

    /// Whether everything has been read.
    pub(super) fn at_end(self) -> bool {
        self.rest.is_empty()
    }

    /// Skips blanks; says whether there were any.
    pub(super) fn space(&mut self) -> bool {
        let before = self.rest.len();
        self.rest = self.rest.trim_start();
        self.rest.len() < before
    }

    /// Takes one of these characters if it is next.
    pub(super) fn mark(&mut self, marks: &[char]) -> bool {
        match self.rest.strip_prefix(marks) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    /// Takes the next word, and a full stop after it, if it is one of `words` in any case.
    pub(super) fn word(&mut self, words: &[&str]) -> bool {
        let end = self.rest.find(|c: char| !c.is_alphabetic()).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        let known = words.iter().any(|w| w.eq_ignore_ascii_case(word));
        if known {
            self.rest = rest.strip_prefix('.').unwrap_or(rest);
        }
        known
    }

    /// Takes a minus and the blanks after it; says whether there was one.
    pub(super) fn minus(&mut self) -> bool {
        let found = self.mark(&['-', '\u{2212}']);
        if found {
            self.space();
        }
        found
    }

    /// Takes the mark or word for inches.
    pub(super) fn inches(&mut self) -> bool {
        self.mark(&['"', '\u{2033}', '\u{201d}']) || self.word(&["in", "inch", "inches"])
    }

    /// Takes the mark or word for feet.
    pub(super) fn feet(&mut self) -> bool {
        self.mark(&['\'', '\u{2032}', '\u{2019}']) || self.word(&["ft", "foot", "feet"])
    }

    /// Takes a number without sign: `14`, `2.5`, `.5`, `3/4`, `14 3/4` or `14-3/4`.
    pub(super) fn number(&mut self) -> Option<(f64, Form)> {
        let start = *self;
        let found = self.number_or_stray();
        if found.is_none() {
            *self = start;
        }
        found
    }

    fn number_or_stray(&mut self) -> Option<(f64, Form)> {
        let start = *self;
        if let Some(fraction) = self.fraction() {
            return Some((fraction, Form::Fraction));
        }
        *self = start;
        let whole = self.digits();
        if self.mark(&['.']) {
            let tail = self.digits();
            if tail.is_empty() {
                return None;
            }
            let value = format!("{whole}.{tail}").parse().ok()?;
            return Some((value, Form::Decimal));
        }
        let value: f64 = whole.parse().ok()?;
        let after_whole = *self;
        if (self.mark(&['-']) || self.space())
            && let Some(fraction) = self.fraction()
        {
            return Some((value + fraction, Form::Fraction));
        }
        *self = after_whole;
        Some((value, Form::Whole))
    }

    /// Takes a fraction less than one.
    fn fraction(&mut self) -> Option<f64> {
        let above: f64 = self.digits().parse().ok()?;
        if !self.mark(&['/', '\u{2044}']) {
            return None;
        }
        let below: f64 = self.digits().parse().ok()?;
        (above < below).then_some(above / below)
    }

    fn digits(&mut self) -> &'a str {
        let end = self.rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(self.rest.len());
        let (digits, rest) = self.rest.split_at(end);
        self.rest = rest;
        digits
    }
}
