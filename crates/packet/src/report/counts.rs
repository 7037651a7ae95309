//! How many findings there are of each verdict.

use serde::Serialize;
use truefall_check::{Finding, Verdict};

/// Findings by verdict, over all placements reported.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Red tags.
    pub red_tag: usize,
    /// Questions for the local official, and results inside their own error.
    pub ask: usize,
    /// Worth knowing.
    pub watch: usize,
    /// Not looked at.
    pub not_checked: usize,
}

impl Counts {
    /// Counts findings.
    pub fn of(findings: &[Finding]) -> Self {
        let mut counts = Self::default();
        for finding in findings {
            let count = match finding.verdict {
                Verdict::RedTag => &mut counts.red_tag,
                Verdict::Ask => &mut counts.ask,
                Verdict::Watch => &mut counts.watch,
                Verdict::NotChecked => &mut counts.not_checked,
                Verdict::Pass => continue,
            };
            *count += 1;
        }
        counts
    }

    /// All findings.
    pub fn total(self) -> usize {
        self.red_tag + self.ask + self.watch + self.not_checked
    }
}
