//! The lean left in: cuts solved as found, tees moved until what hangs on them lands as high as it should.

use super::remedy::{Idea, Kind};
use super::stack::Leaner;
use crate::landing_height::settle_heights;
use truefall_model::job::Placement;
use truefall_model::job::edit::{Change, Edit};

/// None where the job can't be placed so, or where it is so already.
pub(super) fn heights(stack: &Leaner<'_>) -> Option<Idea> {
    let mut edits = stack.clear();
    if stack.job.cut_on != Placement::Found {
        edits.push(Edit::CutOn(Placement::Found));
    }
    let mut job = stack.job.clone();
    Edit::All(edits.clone()).apply(&mut job).ok()?;
    let moved = settle_heights(&mut job, stack.catalog, &stack.written.name, Placement::Found).ok()?;
    let mut lines = Vec::new();
    for edit in &moved {
        let Edit::Fit { change: Change::Replace { at, item }, .. } = edit else { continue };
        let (was, is) = (stack.written.up.get(*at)?.height.as_ref()?, item.height.as_ref()?);
        let by = is.off - was.off;
        let way = if by.to_inches() > 0.0 { "up" } else { "down" };
        lines.push(format!("{} {way} {}, to {is}", item.name, by.abs()));
    }
    if lines.is_empty() {
        lines.push("no tee whose height is written has to move".to_owned());
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
