//! The job a command works on, its faults shown.

use crate::fault_report;
use crate::output::talk;
use std::path::Path;
use truefall_check::Profile;
use truefall_model::job::file::{FileError, JobFile};

/// The job file; none, told on stderr, where it can't be used.
pub fn load(path: &Path) -> Option<JobFile> {
    match JobFile::load(path) {
        Ok(file) => return Some(file),
        Err(FileError::Faults(faults)) => fault_report::show(&faults),
        Err(other) => talk(&other.to_string()),
    }
    None
}

/// The figures a job is held to; none, told on stderr, where it names what is not there.
pub fn profile(file: &JobFile) -> Option<Profile> {
    truefall_plan::site::profile(&file.job).map_err(|faults| fault_report::show(&file.faults(&faults))).ok()
}
