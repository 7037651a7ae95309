//! What a scene expects, and how what was found differs from it.
//!
//! One line is one finding: `//= red tag: drain-too-flat: arm, T1 @ found`. The labels named must be among the
//! finding's. Behind `@` stands `drawn`, `found` or `both`, where the two placements have the very same; without it any
//! will do.

use truefall_check::{Finding, Verdict};
/// One finding expected.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// The line as written, without its mark.
    pub line: String,
    verdict: Verdict,
    rule: String,
    labels: Vec<String>,
    placement: Option<String>,
}

impl Expected {
    /// Reads one line behind its mark.
    ///
    /// # Errors
    /// What of the line can't be read.
    pub fn parse(line: &str) -> Result<Self, String> {
        let (head, placement) = match line.split_once(" @ ") {
            Some((head, word)) => {
                let known = ["drawn", "found", "both"].contains(&word);
                (
                    head,
                    Some(known.then(|| word.to_owned()).ok_or_else(|| format!("`{word}` is no placement"))?),
                )
            }
            None => (line, None),
        };
        let mut parts = head.splitn(3, ": ");
        let (Some(verdict), Some(rule), Some(labels)) = (parts.next(), parts.next(), parts.next()) else {
            return Err(format!("`{line}` is not `verdict: rule: label, label`"));
        };
        let verdict = Verdict::ALL
            .into_iter()
            .find(|v| v.to_string() == verdict)
            .ok_or_else(|| format!("`{verdict}` is no verdict"))?;
        Ok(Self {
            line: line.to_owned(),
            verdict,
            rule: rule.to_owned(),
            labels: labels.split(", ").map(str::to_owned).collect(),
            placement,
        })
    }

    /// The rule it names.
    pub fn rule(&self) -> &str {
        &self.rule
    }

    fn fits(&self, finding: &Finding) -> bool {
        let named = |label: &String| finding.labels.iter().any(|l| l.as_str() == label);
        finding.rule == self.rule
            && finding.verdict == self.verdict
            && self.placement.as_ref().is_none_or(|p| *p == placement(finding))
            && self.labels.iter().all(named)
    }
}

/// Where a finding was found, in the word behind `@`.
fn placement(finding: &Finding) -> String {
    if finding.in_both { "both".to_owned() } else { finding.placement.to_string() }
}

/// A finding as an expectation would be written.
pub fn as_line(finding: &Finding) -> String {
    let labels: Vec<&str> = finding.labels.iter().map(|l| l.as_str()).collect();
    format!("{}: {}: {} @ {}", finding.verdict, finding.rule, labels.join(", "), placement(finding))
}

/// Every finding that was expected and is missing, and every one that was not expected; nothing where they agree.
pub fn differences(expected: &[Expected], findings: &[Finding]) -> Vec<String> {
    let mut left: Vec<&Finding> = findings.iter().collect();
    let mut differences = Vec::new();
    // The most particular first, so that a broad one does not take its finding.
    let mut order: Vec<&Expected> = expected.iter().collect();
    order.sort_by_key(|e| std::cmp::Reverse((e.labels.len(), e.placement.is_some())));
    for one in order {
        match left.iter().position(|f| one.fits(f)) {
            Some(at) => {
                left.remove(at);
            }
            None => differences.push(format!("missing  {}", one.line)),
        }
    }
    differences.extend(left.iter().map(|f| format!("extra    {}\n           {}", as_line(f), f.what)));
    differences
}
