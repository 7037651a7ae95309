//! `truefall holes JOB`.

use super::check::look;
use super::sheet;
use crate::args::{Format, Holes};
use crate::exit_status::ExitStatus;
use crate::output::result;
use truefall_packet::{json, text};
use truefall_plan::holes::HoleSchedule;

/// Lists the holes of one job.
pub fn run(args: &Holes) -> ExitStatus {
    let Some((catalog, file)) = sheet::read(&args.file, args.catalog.as_deref()) else {
        return ExitStatus::Unusable;
    };
    let Some(site) = sheet::site(&file, &catalog) else { return ExitStatus::Unusable };
    let schedule = HoleSchedule::of(&site);
    match args.format {
        Format::Text => result(&text::holes::holes(&schedule, look(false)), ExitStatus::Fine),
        Format::Json => sheet::json(json::sheet(&json::holes::holes(&schedule))),
    }
}
