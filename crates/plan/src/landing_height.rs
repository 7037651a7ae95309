//! The height of a stack's tees, moved until what hangs on them lands at the height its fixture wants.

use truefall_model::catalog::Catalog;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{JobFault, RoughIn, RunKind, place};
use truefall_model::units::Length;

/// A tee moved by a sixteenth moves the legs beyond it a little too; so many rounds settle it.
const ROUNDS: usize = 4;

/// Moves, in sixteenths, the tees of a stack whose height is written, so that the runs that leave them land at the height
/// wanted in a placement. The job is changed; the edits are those that did it.
///
/// # Errors
/// The job can't be placed.
pub fn settle_heights(
    job: &mut Job,
    catalog: &Catalog,
    stack: &Label,
    placement: Placement,
) -> Result<Vec<Edit>, Vec<JobFault>> {
    let mut edits: Vec<Edit> = Vec::new();
    for _ in 0..ROUNDS {
        let rough_in = place(job, catalog)?;
        let moves = moved(job, &rough_in, stack, placement);
        if moves.is_empty() {
            break;
        }
        for edit in moves {
            // Made from the job as it is, so that it fits.
            if edit.apply(job).is_ok() {
                edits.retain(|old| !same_place(old, &edit));
                edits.push(edit);
            }
        }
    }
    Ok(edits)
}

/// One edit a tee that is off by half a sixteenth or more.
fn moved(job: &Job, rough_in: &RoughIn, stack: &Label, placement: Placement) -> Vec<Edit> {
    let Some(written) = job.stacks.iter().find(|s| s.name == *stack) else { return Vec::new() };
    let mut edits = Vec::new();
    for landing in &rough_in.placed(placement).landings {
        let RunKind::Branch { from: (tee, _), .. } = rough_in.run(landing.run).kind else { continue };
        let label = &rough_in.part(tee).label;
        let Some(at) = written.up.iter().position(|fit| fit.name == *label) else { continue };
        let up = landing.wants.z - landing.at.z;
        let by = Length::inches((up * 16.0).round() / 16.0);
        let mut fit = written.up[at].clone();
        let Some(height) = &mut fit.height else { continue };
        if by == Length::ZERO {
            continue;
        }
        height.off += by;
        edits.push(Edit::Fit { run: stack.clone(), change: Change::Replace { at, item: Box::new(fit) } });
    }
    edits
}

fn same_place(one: &Edit, other: &Edit) -> bool {
    match (one, other) {
        (
            Edit::Fit { change: Change::Replace { at: one, .. }, .. },
            Edit::Fit { change: Change::Replace { at: other, .. }, .. },
        ) => one == other,
        _ => false,
    }
}
