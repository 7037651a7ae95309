//! The job a command works on, its faults shown.

use crate::fault_report;
use crate::output::talk;
use std::path::Path;
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
