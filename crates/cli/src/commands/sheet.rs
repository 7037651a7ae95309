//! What the commands that print a sheet of a job share: the job and the catalog read, the sheet written.

use super::{catalog, job};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use std::path::Path;
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_plan::Site;

/// The job and the catalog, or nothing once all their faults were told.
pub fn read(file: &Path, folder: Option<&Path>) -> Option<(Catalog, JobFile)> {
    // Both are read before either ends the run, so that the faults of both are told at once.
    let catalog = catalog::load(folder);
    let job = job::load(file);
    Some((catalog?.into_owned(), job?))
}

/// The job placed and held to the rules, or nothing once its faults were told.
pub fn site<'a>(file: &'a JobFile, catalog: &'a Catalog) -> Option<Site<'a>> {
    Site::of(&file.job, catalog).map_err(|faults| fault_report::show(&file.faults(&faults))).ok()
}

/// Writes a sheet as JSON.
pub fn json(sheet: Result<String, impl std::fmt::Display>) -> ExitStatus {
    match sheet {
        Ok(out) => result(&out, ExitStatus::Fine),
        Err(why) => {
            talk(&format!("the sheet can't be written as JSON: {why}"));
            ExitStatus::Unusable
        }
    }
}
