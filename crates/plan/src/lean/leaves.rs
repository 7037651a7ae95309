//! The lean left in: cuts solved as found, and the stack's heights solved anew for the way it really stands.

use super::remedy::{Idea, Kind};
use super::stack::Leaner;
use crate::heights::{Means, Outcome, plan_of};
use crate::landing_height::settle_heights;
use crate::trial::Bench;
use truefall_model::job::edit::Edit;
use truefall_model::job::pipes::Fit;
use truefall_model::job::{Job, Placement};

/// None where the job can't be placed so, or where it is so already.
pub(super) fn heights(bench: &Bench<'_>, stack: &Leaner<'_>) -> Option<Idea> {
    let mut edits = stack.clear();
    if stack.job.cut_on != Placement::Found {
        edits.push(Edit::CutOn(Placement::Found));
    }
    let mut job = stack.job.clone();
    Edit::All(edits.clone()).apply(&mut job).ok()?;
    let (moved, solved) = match solved(bench, &job, stack) {
        Some(solved) => (solved, true),
        // What has no heights at all is set as near as its fixtures want it, and the rules have their say.
        None => {
            let mut trial = job.clone();
            let placement = Placement::Found;
            (settle_heights(&mut trial, stack.catalog, &stack.written.name, placement).ok()?, false)
        }
    };
    let mut after = job.clone();
    Edit::All(moved.clone()).apply(&mut after).ok()?;
    let mut lines = changes(&stack.written.up, &after.stacks.get(stack.index)?.up);
    if lines.is_empty() {
        lines.push("no tee whose height is written has to move".to_owned());
    }
    if !solved {
        lines.push("no heights satisfy all windows as found: each tee stands as near as it can".to_owned());
    }
    lines
        .push("every cut is solved on the leaning stack: judge it with `check --placement found`".to_owned());
    edits.extend(moved);
    (!edits.is_empty()).then(|| Idea {
        kind: Kind::Heights,
        words: format!("leave the lean of {} in, cut as found and set the tees for it", stack.written.name),
        lines,
        asked: None,
        edits,
        on_found: true,
    })
}

/// The edits of the plan of heights for the stack as found; none where a part of it can't be built.
fn solved(bench: &Bench<'_>, job: &Job, stack: &Leaner<'_>) -> Option<Vec<Edit>> {
    let placements = [Placement::Found];
    let found = Bench { job, placements: &placements, ..*bench };
    let plan = plan_of(&found, Means::default(), Some(&stack.written.name), &mut |_| {}).ok()?;
    let part = |outcome: &Outcome| match outcome {
        Outcome::Solved(solved) => Some(solved.edits.clone()),
        _ => None,
    };
    let parts: Option<Vec<Vec<Edit>>> = plan.stacks.iter().map(|p| part(&p.outcome)).collect();
    parts.filter(|parts| !parts.is_empty()).map(|parts| parts.concat())
}

/// What moves, what is exchanged, a line each.
fn changes(before: &[Fit], after: &[Fit]) -> Vec<String> {
    let line = |fit: &Fit| {
        let Some(old) = before.iter().find(|f| f.name == fit.name) else {
            return Some(format!("{}: put in, a {}", fit.name, fit.fit));
        };
        let at =
            fit.height.as_ref().map_or_else(|| "straight on the one below".to_owned(), |h| format!("to {h}"));
        if old.fit != fit.fit {
            return Some(format!("{}: a {} in place of the {}, {at}", fit.name, fit.fit, old.fit));
        }
        if old.height == fit.height {
            return None;
        }
        Some(match (&old.height, &fit.height) {
            (Some(was), Some(is)) if was.floor == is.floor && was.surface == is.surface => {
                let by = is.off - was.off;
                let way = if by.to_inches() > 0.0 { "up" } else { "down" };
                format!("{} {way} {}, {at}", fit.name, by.abs())
            }
            _ => format!("{} {at}", fit.name),
        })
    };
    let gone = before.iter().filter(|f| !after.iter().any(|a| a.name == f.name));
    let gone = gone.map(|f| format!("{}: taken out, the {} is not needed", f.name, f.fit));
    after.iter().filter_map(line).chain(gone).collect()
}
