//! A finding: what is wrong or open, where, by how much, and on whose word.

use crate::cure::{Cure, Fix};
use crate::source::Source;
use nalgebra::Point3;
use truefall_model::job::Placement;
use truefall_model::label::Label;
use truefall_model::tolerance::SLACK;

/// What the tool says about a fault, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// An inspector would hang a red tag on it, or it can't be built so.
    RedTag,
    /// The local official decides, or the result lies inside its own error.
    Ask,
    /// Worth knowing before the pipe is cut; no fault by itself.
    Watch,
    /// Could not be looked at; silence always means looked and fine.
    NotChecked,
    /// Looked at and within its limit; told only where passes are asked for.
    Pass,
}

impl Verdict {
    /// All of them, gravest first.
    pub const ALL: [Self; 5] = [Self::RedTag, Self::Ask, Self::Watch, Self::NotChecked, Self::Pass];

    /// What a result says that is so far inside its limit (`margin`, below zero where it is over) and is known to
    /// within `error`, both in one unit: nothing, a question or a red tag.
    ///
    /// Exactly at a limit passes, and so does what is inside it, however well it is known. What is over the limit by
    /// less than `error` (one standard error, as printed) is a question.
    pub fn of(margin: f64, error: f64) -> Option<Self> {
        if margin >= -SLACK {
            None
        } else if -margin < error {
            Some(Self::Ask)
        } else {
            Some(Self::RedTag)
        }
    }
}

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Self::RedTag => "red tag",
            Self::Ask => "ask",
            Self::Watch => "watch",
            Self::NotChecked => "not checked",
            Self::Pass => "pass",
        })
    }
}

/// What a measured value is held to, in the finding's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// No less than this.
    AtLeast(f64),
    /// No more than this.
    AtMost(f64),
    /// From the first to the second, both allowed.
    Between(f64, f64),
}

impl Limit {
    /// How far a value is inside the limit; below zero it is over by so much.
    pub fn margin(self, measured: f64) -> f64 {
        match self {
            Self::AtLeast(least) => measured - least,
            Self::AtMost(most) => most - measured,
            Self::Between(least, most) => (measured - least).min(most - measured),
        }
    }

    /// Margin as a share of the limit, of a range as a share of its width; none where that is nothing.
    pub fn share(self, margin: f64) -> Option<f64> {
        let whole = match self {
            Self::AtLeast(one) | Self::AtMost(one) => one.abs(),
            Self::Between(least, most) => most - least,
        };
        (whole > SLACK).then(|| margin / whole)
    }

    /// Whether a value is within the limit; exactly at it is.
    pub fn allows(self, measured: f64) -> bool {
        self.margin(measured) >= -SLACK
    }
}

/// One thing found, in one placement.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule that found it.
    pub rule: &'static str,
    /// How grave.
    pub verdict: Verdict,
    /// One line, lower case, without full stop: what is wrong, where, measured against limit.
    pub what: String,
    /// The parts, members, walls or fixtures it is about, as the user named them.
    pub labels: Vec<Label>,
    /// The placement it was found in.
    pub placement: Placement,
    /// The other placement has the very same.
    pub in_both: bool,
    /// Where, in job axes and inches.
    pub at: Option<Point3<f64>>,
    /// The value measured, unrounded, in `unit`.
    pub measured: Option<f64>,
    /// What it is held to.
    pub limit: Option<Limit>,
    /// Unit of `measured`, `limit`, `margin` and `error`: one of [`crate::code::UNITS`], or empty.
    pub unit: &'static str,
    /// How far inside the limit; below zero it is over by so much.
    pub margin: Option<f64>,
    /// Standard error of `measured`, where it rests on a reading.
    pub error: Option<f64>,
    /// The sum line by line, as one would do it on a stud.
    pub sum: Vec<String>,
    /// Where the limit comes from.
    pub source: Source,
    /// What one can do about it, with a number.
    pub help: Option<String>,
    /// The local acceptance that covers it: what, who said so, when.
    pub accepted: Option<String>,
    /// What the rule thinks would mend it, best first; none of it tried yet.
    pub cures: Vec<Cure>,
    /// A cure that was tried on a copy of the job and mends it.
    pub fix: Option<Fix>,
}

impl Finding {
    /// A finding of a rule, still without place and numbers.
    pub fn new(
        rule: &'static str,
        verdict: Verdict,
        placement: Placement,
        what: impl Into<String>,
        source: Source,
    ) -> Self {
        Self {
            rule,
            verdict,
            what: what.into(),
            labels: Vec::new(),
            placement,
            in_both: false,
            at: None,
            measured: None,
            limit: None,
            unit: "",
            margin: None,
            error: None,
            sum: Vec::new(),
            source,
            help: None,
            accepted: None,
            cures: Vec::new(),
            fix: None,
        }
    }

    /// Names what it is about.
    pub fn on<'l>(mut self, labels: impl IntoIterator<Item = &'l Label>) -> Self {
        self.labels.extend(labels.into_iter().cloned());
        self
    }

    /// Where it is, in job axes.
    pub fn at(mut self, point: Point3<f64>) -> Self {
        self.at = Some(point);
        self
    }

    /// What was measured and the limit it is held to; the margin follows.
    pub fn measured(mut self, measured: f64, limit: Limit, unit: &'static str) -> Self {
        self.measured = Some(measured);
        self.limit = Some(limit);
        self.margin = Some(limit.margin(measured));
        self.unit = unit;
        self
    }

    /// What was measured where nothing limits it.
    pub fn reading(mut self, measured: f64, unit: &'static str) -> Self {
        self.measured = Some(measured);
        self.unit = unit;
        self
    }

    /// Standard error of the measurement; zero is none.
    pub fn known_to(mut self, error: f64) -> Self {
        self.error = (error > 0.0).then_some(error);
        self
    }

    /// The next line of the sum.
    pub fn line(mut self, text: impl Into<String>) -> Self {
        self.sum.push(text.into());
        self
    }

    /// Several lines of the sum.
    pub fn lines(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.sum.extend(lines);
        self
    }

    /// What one can do about it.
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// What would mend it, to be tried by [`crate::fixes`].
    pub fn cure(mut self, cure: impl IntoIterator<Item = Cure>) -> Self {
        self.cures.extend(cure);
        self
    }
}

impl std::fmt::Display for Finding {
    /// The first line: `red tag[drain-too-flat]: tub drain falls …`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}[{}]: {}", self.verdict, self.rule, self.what)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exactly_at_a_limit_passes_and_a_thousandth_over_does_not() {
        let limit = Limit::AtLeast(0.25);
        assert_eq!(Verdict::of(limit.margin(0.25), 0.0), None);
        assert_eq!(Verdict::of(limit.margin(0.1 + 0.15), 0.0), None);
        assert_eq!(Verdict::of(limit.margin(0.249), 0.0), Some(Verdict::RedTag));
        assert!(Limit::Between(18.0, 42.0).allows(42.0) && !Limit::Between(18.0, 42.0).allows(42.001));
    }

    #[test]
    fn what_is_over_by_less_than_its_error_is_a_question() {
        assert_eq!(Verdict::of(0.005, 0.01), None);
        assert_eq!(Verdict::of(0.0, 0.01), None);
        assert_eq!(Verdict::of(-0.005, 0.01), Some(Verdict::Ask));
        assert_eq!(Verdict::of(-0.02, 0.01), Some(Verdict::RedTag));
    }

    #[test]
    fn red_tags_come_first() {
        assert!(
            Verdict::RedTag < Verdict::Ask
                && Verdict::Ask < Verdict::Watch
                && Verdict::Watch < Verdict::NotChecked
                && Verdict::NotChecked < Verdict::Pass
        );
    }
}
