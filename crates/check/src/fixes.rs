//! Tries the cures that rules propose: each is applied to a copy of the job, which is placed and checked anew.
//!
//! A cure becomes a fix only where its finding is gone afterwards; what it newly breaks is told with it.

use crate::check::check;
use crate::code::Profile;
use crate::cure::{Cure, Fix};
use crate::finding::{Finding, Verdict};
use std::collections::BTreeMap;
use truefall_model::catalog::Catalog;
use truefall_model::job::{Edit, Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::place;

/// What the cures are tried on.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    /// The job as it is.
    pub job: &'a Job,
    /// Fittings, pipe and lumber.
    pub catalog: &'a Catalog,
    /// The figures, amendments laid over them.
    pub profile: &'a Profile,
    /// The placements that were checked.
    pub placements: &'a [Placement],
}

/// One thing that can be wrong in one placement, by rule and names: what is compared before and after.
type Fault<'f> = (&'static str, &'f [Label], Placement);

/// Tries the cures of every finding, best first, and keeps the first that breaks nothing, else the first that mends.
pub fn try_cures(bench: &Bench<'_>, findings: &mut [Finding]) {
    // Of a finding told for both placements, and of plates that cover several holes, the cure is the same.
    let mut tried: Vec<(Vec<Edit>, Option<Vec<Finding>>)> = Vec::new();
    for at in 0..findings.len() {
        let mut best: Option<Fix> = None;
        for cure in findings[at].cures.clone() {
            let known = tried.iter().position(|(edits, _)| *edits == cure.edits);
            let known = known.unwrap_or_else(|| {
                tried.push((cure.edits.clone(), after(bench, &cure)));
                tried.len() - 1
            });
            let Some(after) = &tried[known].1 else { continue };
            let Some(breaks) = judge(findings, at, after) else { continue };
            let clean = breaks.is_empty();
            if best.is_none() || clean {
                best = Some(Fix { words: cure.words, edits: cure.edits, breaks });
            }
            if clean {
                break;
            }
        }
        findings[at].fix = best;
    }
}

/// What is found in a copy of the job with the cure in it; none where it can't be applied or placed.
fn after(bench: &Bench<'_>, cure: &Cure) -> Option<Vec<Finding>> {
    let mut job = bench.job.clone();
    Edit::All(cure.edits.clone()).apply(&mut job).ok()?;
    let rough_in = place(&job, bench.catalog).ok()?;
    Some(check(&job, &rough_in, bench.catalog, bench.profile, bench.placements))
}

/// What is newly broken; none where the finding is still there.
fn judge(before: &[Finding], at: usize, after: &[Finding]) -> Option<Vec<String>> {
    let (was, is) = (count(before), count(after));
    let of =
        |counts: &BTreeMap<Fault<'_>, Vec<Verdict>>, fault: &Fault<'_>| counts.get(fault).map_or(0, Vec::len);
    let gone = faults(&before[at]).into_iter().all(|fault| of(&is, &fault) < of(&was, &fault));
    if !gone {
        return None;
    }
    Some(worse(&was, &is, after).into_iter().map(ToString::to_string).collect())
}

/// Those of the findings told `after` a change that were not told `before` it, or are graver now.
pub fn worsened<'f>(before: &[Finding], after: &'f [Finding]) -> Vec<&'f Finding> {
    worse(&count(before), &count(after), after)
}

fn worse<'f>(
    was: &BTreeMap<Fault<'_>, Vec<Verdict>>,
    is: &BTreeMap<Fault<'_>, Vec<Verdict>>,
    after: &'f [Finding],
) -> Vec<&'f Finding> {
    let worse = |finding: &&Finding| {
        faults(finding).into_iter().any(|fault| {
            let (was, is) = (was.get(&fault).map_or(&[][..], Vec::as_slice), &is[&fault]);
            is.len() > was.len() || is.iter().zip(was).any(|(is, was)| is < was)
        })
    };
    after.iter().filter(worse).collect()
}

/// The verdicts of each fault, gravest first.
fn count(findings: &[Finding]) -> BTreeMap<Fault<'_>, Vec<Verdict>> {
    let mut counts: BTreeMap<Fault<'_>, Vec<Verdict>> = BTreeMap::new();
    for finding in findings {
        for fault in faults(finding) {
            counts.entry(fault).or_default().push(finding.verdict);
        }
    }
    counts.values_mut().for_each(|verdicts| verdicts.sort());
    counts
}

/// A finding is a fault in its placement, and in the other where it was found alike in both.
fn faults(finding: &Finding) -> Vec<Fault<'_>> {
    let placements = match finding.in_both {
        true => Placement::ALL.to_vec(),
        false => vec![finding.placement],
    };
    placements.into_iter().map(|placement| (finding.rule, finding.labels.as_slice(), placement)).collect()
}
