//! What becomes of findings before they leave: doubt, local acceptance, the two placements, order.

use crate::code::nearest;
use crate::finding::{Finding, Verdict};
use crate::rules;
use std::cmp::Ordering;
use truefall_model::job::Job;
use truefall_model::job::accept::Acceptance;
use truefall_model::place::JobFault;
use truefall_model::tolerance::SLACK;

/// Turns results inside their own error into questions, applies what the local official accepts, tells once what is
/// the same in both placements, and sorts.
pub fn settle(found: Vec<Finding>, accepted: &[Acceptance]) -> Vec<Finding> {
    let settled = |finding| accept(pass(doubt(finding)), accepted);
    let mut found: Vec<Finding> = found.into_iter().map(settled).collect();
    found.sort_by(order);
    merge_placements(found)
}

/// A red tag nearer to its limit than its own error is a question.
fn doubt(mut finding: Finding) -> Finding {
    if let (Verdict::RedTag, Some(margin), Some(error)) = (finding.verdict, finding.margin, finding.error)
        && margin.abs() < error
    {
        finding.verdict = Verdict::Ask;
    }
    finding
}

/// What passes needs no help and no cure; a margin that the arithmetic leaves a hair below nothing is nothing.
fn pass(mut finding: Finding) -> Finding {
    if finding.verdict == Verdict::Pass {
        finding.help = None;
        finding.cures.clear();
        finding.margin = finding.margin.map(|margin| if margin > SLACK { margin } else { 0.0 });
    }
    finding
}

/// A finding that an acceptance covers is a question and names it; what could not be looked at stays so.
fn accept(mut finding: Finding, accepted: &[Acceptance]) -> Finding {
    if finding.verdict == Verdict::Pass {
        return finding;
    }
    let covers = |a: &&Acceptance| {
        a.rule.as_str() == finding.rule
            && (a.labels.is_empty() || a.labels.iter().any(|l| finding.labels.contains(l)))
    };
    if let Some(Acceptance { what, who, when, .. }) = accepted.iter().find(covers) {
        finding.accepted = Some(format!("{what}, accepted by {who} on {when}"));
        if finding.verdict != Verdict::NotChecked {
            finding.verdict = Verdict::Ask;
        }
    }
    finding
}

/// Gravest first, then by rule, labels, placement and place.
fn order(a: &Finding, b: &Finding) -> Ordering {
    let place = |f: &Finding| f.at.map(|p| [p.x, p.y, p.z]);
    let by_place = || match (place(a), place(b)) {
        (Some(a), Some(b)) => {
            a.iter().zip(&b).map(|(a, b)| a.total_cmp(b)).find(|o| o.is_ne()).unwrap_or(Ordering::Equal)
        }
        (a, b) => a.is_some().cmp(&b.is_some()),
    };
    (a.verdict, a.rule, &a.labels)
        .cmp(&(b.verdict, b.rule, &b.labels))
        .then_with(|| a.placement.cmp(&b.placement))
        .then_with(by_place)
        .then_with(|| a.what.cmp(&b.what))
}

/// Keeps one of two findings that are the same but for the placement and marks it as found in both.
///
/// The same are two of one rule and verdict about the same labels whose measured values agree within the arithmetic and
/// that say the same. The first in order is kept.
pub fn merge_placements(found: Vec<Finding>) -> Vec<Finding> {
    let mut kept: Vec<Finding> = Vec::new();
    for finding in found {
        // In order, those of one rule, verdict and labels stand together: farther back there is no twin.
        let near = |k: &&mut Finding| {
            (k.verdict, k.rule, &k.labels) == (finding.verdict, finding.rule, &finding.labels)
        };
        let twin = |k: &&mut Finding| k.placement != finding.placement && same(k, &finding);
        match kept.iter_mut().rev().take_while(near).find(twin) {
            Some(kept) => kept.in_both = true,
            None => kept.push(finding),
        }
    }
    kept
}

fn same(a: &Finding, b: &Finding) -> bool {
    let measured = match (a.measured, b.measured) {
        (Some(a), Some(b)) => (a - b).abs() <= SLACK,
        (None, None) => true,
        _ => false,
    };
    measured && a.rule == b.rule && a.verdict == b.verdict && a.labels == b.labels && a.what == b.what
}

/// Acceptances of a job that name no rule there is.
pub fn acceptance_faults(job: &Job) -> Vec<JobFault> {
    let ids: Vec<&str> = rules::ALL.iter().map(|r| r.id).collect();
    job.accepted
        .iter()
        .enumerate()
        .filter(|(_, a)| !ids.contains(&a.rule.as_str()))
        .map(|(i, a)| JobFault {
            path: format!("accepted[{i}].rule"),
            message: format!("there is no rule `{}`", a.rule),
            help: nearest(a.rule.as_str(), &ids),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Limit;
    use crate::source::Source;
    use truefall_model::job::Placement;
    use truefall_model::label::Label;

    fn flat(placement: Placement, measured: f64) -> Finding {
        Finding::new(
            "drain-too-flat",
            Verdict::RedTag,
            placement,
            "tub drain is too flat",
            Source::house("a test"),
        )
        .on(&[Label::new("tub")])
        .measured(measured, Limit::AtLeast(0.25), "in/ft")
    }

    fn acceptance(rule: &str, labels: &[&str]) -> Acceptance {
        Acceptance {
            rule: Label::new(rule),
            labels: labels.iter().map(Label::new).collect(),
            what: "1/8 per ft on the old tub".into(),
            who: "the inspector".into(),
            when: "May 2".into(),
        }
    }

    #[test]
    fn a_red_tag_inside_its_error_becomes_a_question() {
        let near = settle(vec![flat(Placement::Found, 0.24).known_to(0.02)], &[]);
        assert_eq!(near[0].verdict, Verdict::Ask);
        let far = settle(vec![flat(Placement::Found, 0.20).known_to(0.02)], &[]);
        assert_eq!(far[0].verdict, Verdict::RedTag);
    }

    #[test]
    fn an_acceptance_covers_its_rule_and_labels_only() {
        let of = |accepted: &[Acceptance]| settle(vec![flat(Placement::Drawn, 0.125)], accepted).remove(0);
        let covered = of(&[acceptance("drain-too-flat", &["tub"])]);
        assert_eq!(covered.verdict, Verdict::Ask);
        assert_eq!(
            covered.accepted.as_deref(),
            Some("1/8 per ft on the old tub, accepted by the inspector on May 2")
        );
        assert_eq!(of(&[acceptance("drain-too-flat", &[])]).verdict, Verdict::Ask);
        assert_eq!(of(&[acceptance("drain-too-flat", &["closet"])]).verdict, Verdict::RedTag);
        assert_eq!(of(&[acceptance("piece-too-short", &[])]).verdict, Verdict::RedTag);
    }

    #[test]
    fn what_is_the_same_in_both_placements_is_told_once() {
        let same = settle(vec![flat(Placement::Drawn, 0.125), flat(Placement::Found, 0.125)], &[]);
        assert_eq!(same.iter().map(|f| f.placement).collect::<Vec<_>>(), [Placement::Drawn]);
        let two = settle(vec![flat(Placement::Found, 0.10), flat(Placement::Drawn, 0.125)], &[]);
        assert_eq!(two.iter().map(|f| f.placement).collect::<Vec<_>>(), [Placement::Drawn, Placement::Found]);
        let in_one = settle(vec![flat(Placement::Drawn, 0.125), flat(Placement::Drawn, 0.125)], &[]);
        assert_eq!(in_one.len(), 2, "two of one placement are two");
    }

    #[test]
    fn the_order_does_not_depend_on_the_order_told() {
        let other = |label: &str| {
            let mut f = flat(Placement::Drawn, 0.1);
            f.labels = vec![Label::new(label)];
            f
        };
        let mut watch = flat(Placement::Drawn, 0.1);
        watch.verdict = Verdict::Watch;
        let told = vec![watch.clone(), other("b"), other("a")];
        let mut turned = told.clone();
        turned.reverse();
        let (one, two) = (settle(told, &[]), settle(turned, &[]));
        assert_eq!(one, two);
        assert_eq!(one.last(), Some(&watch));
        assert_eq!(one[0].labels, [Label::new("a")]);
    }
}
