//! Tries a list of edits: on a copy of the job, which is placed and held to all rules.

use truefall_check::check::check_facts;
use truefall_check::facts::Facts;
pub use truefall_check::fixes::Bench;
use truefall_check::fixes::worsened;
use truefall_check::{Finding, Verdict};
use truefall_model::job::edit::EditError;
use truefall_model::job::{Edit, Job, Placement};
use truefall_model::place::{JobFault, RoughIn, place};

/// What a list of edits came to.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The edits, in the order they were applied.
    pub edits: Vec<Edit>,
    /// The job with the edits in it.
    pub job: Job,
    /// The same placed.
    pub rough_in: RoughIn,
    /// What was measured in each placement.
    pub facts: Vec<(Placement, Facts)>,
    /// What the rules tell of it.
    pub findings: Vec<Finding>,
    /// Those of the findings that were not told before, or are graver now.
    pub breaks: Vec<Finding>,
    /// Those told before that are gone, or less grave now.
    pub mends: Vec<Finding>,
}

impl Trial {
    /// Whether nothing is red that was not red before.
    pub fn accepted(&self) -> bool {
        self.breaks.iter().all(|finding| finding.verdict != Verdict::RedTag)
    }
}

/// Why edits came to nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// They do not fit the job.
    #[error("the change does not fit the job: {0}")]
    Edit(#[from] EditError),
    /// The job with them in it can't be placed.
    #[error("the job with the change in it can't be placed: {}", first(.0))]
    Placing(Vec<JobFault>),
}

fn first(faults: &[JobFault]) -> &str {
    faults.first().map_or("", |fault| fault.message.as_str())
}

/// A copy of a job with edits in it, placed and not yet held to any rule.
#[derive(Debug, Clone)]
pub struct Put {
    /// The edits, in the order they were applied.
    pub edits: Vec<Edit>,
    /// The job with the edits in it.
    pub job: Job,
    /// The same placed.
    pub rough_in: RoughIn,
}

/// Applies edits to a copy of the bench's job and places it.
///
/// # Errors
/// The edits don't fit the job, or it can't be placed with them.
pub fn put(bench: &Bench<'_>, edits: Vec<Edit>) -> Result<Put, Refused> {
    let mut job = bench.job.clone();
    for edit in &edits {
        edit.apply(&mut job)?;
    }
    let rough_in = place(&job, bench.catalog).map_err(Refused::Placing)?;
    Ok(Put { edits, job, rough_in })
}

impl Put {
    /// Holds it to all rules; `before` is what they told of the job as it was.
    pub fn hold(self, bench: &Bench<'_>, before: &[Finding]) -> Trial {
        self.hold_measured(bench, before, Vec::new())
    }

    /// The same where some placements were measured already.
    pub fn hold_measured(
        self,
        bench: &Bench<'_>,
        before: &[Finding],
        mut known: Vec<(Placement, Facts)>,
    ) -> Trial {
        let Self { edits, job, rough_in } = self;
        let mut measured = |p: &Placement| match known.iter().position(|k| k.0 == *p) {
            Some(at) => known.swap_remove(at),
            None => (*p, Facts::of(&job, &rough_in, bench.catalog, rough_in.placed(*p))),
        };
        let facts: Vec<(Placement, Facts)> = bench.placements.iter().map(&mut measured).collect();
        let findings = check_facts(&job, &rough_in, bench.catalog, bench.profile, &facts);
        let breaks = worsened(before, &findings).into_iter().cloned().collect();
        let mends = worsened(&findings, before).into_iter().cloned().collect();
        Trial { edits, job, rough_in, facts, findings, breaks, mends }
    }
}

/// Applies edits to a copy of the bench's job, places it, and holds it to all rules; `before` is what the rules told of the
/// job as it is.
///
/// # Errors
/// The edits don't fit the job, or it can't be placed with them.
pub fn attempt(bench: &Bench<'_>, before: &[Finding], edits: Vec<Edit>) -> Result<Trial, Refused> {
    Ok(put(bench, edits)?.hold(bench, before))
}
