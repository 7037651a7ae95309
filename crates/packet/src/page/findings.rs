//! Findings in trade words, each with its sum and whose word it is.

use crate::drawing::Subject;
use crate::markup::Markup;
use crate::report::finding::FindingRow;

/// All findings, gravest first.
pub fn findings(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let findings = &subject.examined.report.findings;
    if findings.is_empty() {
        m.line("p", &[], "Nothing found: all that was looked at is within its limits.");
    }
    for finding in findings {
        tag(&mut m, finding);
    }
    m
}

fn tag(m: &mut Markup, finding: &FindingRow) {
    let red = finding.verdict == "red tag";
    m.tag("article", &[("class", if red { "tag red" } else { "tag" })], |m| {
        m.line("h3", &[], &format!("{}: {}", finding.verdict, finding.what));
        let both = if finding.in_both {
            "as drawn and as found".to_owned()
        } else {
            format!("as {}", finding.placement)
        };
        m.line(
            "p",
            &[("class", "small")],
            &format!("{} · {both} · rule {}", finding.labels.join(", "), finding.rule),
        );
        if !finding.sum.is_empty() {
            m.tag("p", &[("class", "sum")], |m| {
                for line in &finding.sum {
                    m.text(line).raw("<br>\n");
                }
            });
        }
        m.line("p", &[("class", "small")], &format!("source: {}", finding.source.line));
        if let Some(help) = &finding.help {
            m.line("p", &[], &format!("help: {help}"));
        }
        if let Some(accepted) = &finding.accepted {
            m.line("p", &[], &format!("accepted: {accepted}"));
        }
    });
}
