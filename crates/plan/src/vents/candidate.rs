//! A candidate: the steps of one vent, not yet tried.

use super::cost::Weights;
use super::step::Step;
use truefall_model::job::pipes::End;

/// The steps of one vent, and the same in words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    /// What kind of thing it is, in a few words.
    pub kind: &'static str,
    /// The steps.
    pub steps: Vec<Step>,
    /// One line each for what is done, with the numbers of new fittings in them.
    pub words: Vec<String>,
}

impl Candidate {
    /// Points it costs at the least: its joints, its ways out and its refits. What only a trial tells, pipe and holes,
    /// comes on top.
    pub fn at_least(&self, weights: &Weights) -> f64 {
        let end = |end: &End| match end {
            End::Roof { .. } => weights.roof,
            End::Valve {} => weights.valve,
            _ => 0.0,
        };
        let of = |step: &Step| match step {
            Step::Insert { .. } | Step::Append { .. } => weights.joint,
            Step::Replace { .. } => weights.refit,
            Step::End { end: to, .. } => end(to),
            Step::Branch(branch) => branch.along.len() as f64 * weights.joint + end(&branch.end),
            Step::Provide(_) => 0.0,
        };
        self.steps.iter().map(of).sum()
    }
}
