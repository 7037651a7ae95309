//! The plan of every leaning stack: what the lean does, what helps, what is refused.

use super::effect::{Effect, effects};
use super::remedy::{Kind, Refusal, Remedy, tried};
use super::stack::{Leaner, Leaning};
use super::{bends, joints, leaves};
use crate::trial::Bench;
use truefall_check::{Finding, check};
use truefall_model::label::Label;
use truefall_model::place::{JobFault, RunKind, place};

/// What was found out about one stack.
#[derive(Debug, Clone)]
pub struct StackLean {
    /// The stack.
    pub stack: Label,
    /// How it leans; none where it was not surveyed or its readings are those of a plumb pipe.
    pub leaning: Option<Leaning>,
    /// Whether it was surveyed.
    pub surveyed: bool,
    /// What hangs on it, as the job stands.
    pub effects: Vec<Effect>,
    /// What helps, best first.
    pub remedies: Vec<Remedy>,
    /// What is not proposed.
    pub refused: Vec<Refusal>,
}

/// Plans for every stack of the job.
///
/// # Errors
/// All faults that leave nothing to place.
pub fn lean(bench: &Bench<'_>) -> Result<Vec<StackLean>, Vec<JobFault>> {
    lean_told(bench, &mut |_| {})
}

/// The same; `told` hears the name of each stack as its turn comes.
///
/// # Errors
/// All faults that leave nothing to place.
pub fn lean_told(bench: &Bench<'_>, told: &mut dyn FnMut(&Label)) -> Result<Vec<StackLean>, Vec<JobFault>> {
    let rough_in = place(bench.job, bench.catalog)?;
    let before = check(bench.job, &rough_in, bench.catalog, bench.profile, bench.placements);
    let stacks = rough_in.runs.iter().filter_map(|run| match &run.kind {
        RunKind::Stack { lean, .. } => Some((run, lean.is_some())),
        RunKind::Branch { .. } => None,
    });
    Ok(stacks
        .map(|(run, surveyed)| {
            told(&run.label);
            let mut plan = StackLean {
                stack: run.label.clone(),
                leaning: None,
                surveyed,
                effects: effects(bench, bench.job, &rough_in, &run.label),
                remedies: Vec::new(),
                refused: Vec::new(),
            };
            if let Some(leaner) = Leaner::of(bench.job, bench.catalog, &rough_in, run) {
                plan.leaning = Some(leaner.leaning());
                (plan.remedies, plan.refused) = remedies(bench, &before, &leaner);
            }
            plan
        })
        .collect())
}

fn remedies(bench: &Bench<'_>, before: &[Finding], stack: &Leaner<'_>) -> (Vec<Remedy>, Vec<Refusal>) {
    let mut ideas = joints::plumb(stack);
    ideas.extend(joints::brace(stack));
    ideas.extend(bends::pairs(stack));
    ideas.extend(joints::cut_back(stack));
    ideas.extend(leaves::heights(bench, stack));
    let (mut good, mut refused) = (Vec::new(), Vec::new());
    for idea in ideas {
        match tried(bench, before, stack, idea) {
            Ok(remedy) => good.push(*remedy),
            Err(refusal) => refused.push(refusal),
        }
    }
    // Fewest red tags left, then least work; leaving the lean in comes behind what takes it out at the same cost.
    good.sort_by(|one: &Remedy, other| {
        let key = |r: &Remedy| (r.red[1], r.joints, r.pieces, r.kind == Kind::Heights, r.kind);
        key(one).cmp(&key(other))
    });
    (good, refused)
}
