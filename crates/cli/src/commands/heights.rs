//! `truefall plan heights JOB`.

use super::{catalog, job};
use crate::args::Heights;
use crate::exit_status::ExitStatus;
use crate::output::talk;

/// Reads the job; heights are not solved yet, and it says so.
pub fn run(args: &Heights) -> ExitStatus {
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let (Some(_catalog), Some(file)) = (catalog, file) else { return ExitStatus::Unusable };
    talk(&format!("{}: heights can't be solved yet", file.job.name));
    ExitStatus::Unusable
}
