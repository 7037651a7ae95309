//! `truefall plan lean JOB`.

use super::check::look;
use super::{apply, catalog, job};
use crate::args::{Format, Lean};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use crate::progress::Progress;
use truefall_model::job::Placement;
use truefall_packet::{LeanPlan, lean_plan};
use truefall_plan::Bench;
use truefall_plan::lean::{Remedy, lean_told};
use truefall_plan::site::profile;

/// Tells what the lean of each stack does and what helps, and writes the remedy taken into the job.
pub fn run(args: &Lean) -> ExitStatus {
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let (Some(catalog), Some(file)) = (catalog, file) else { return ExitStatus::Unusable };
    let (mut bar, all, mut done) = (Progress::new("lean of stacks"), file.job.stacks.len(), 0);
    let planned = profile(&file.job).and_then(|profile| {
        let bench =
            Bench { job: &file.job, catalog: &catalog, profile: &profile, placements: Placement::ALL };
        lean_told(&bench, &mut |_| {
            done += 1;
            bar.at(done, all);
        })
    });
    // The bar goes before anything is printed.
    drop(bar);
    let stacks = match planned {
        Ok(stacks) => stacks,
        Err(faults) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
    };
    if args.take.is_some() && !args.apply {
        talk("--take says which remedy --apply writes; give both");
        return ExitStatus::Unusable;
    }
    let remedies: Vec<&Remedy> = stacks.iter().flat_map(|stack| &stack.remedies).collect();
    let taken = args.take.unwrap_or(1);
    let status = if args.apply {
        match taken.checked_sub(1).and_then(|at| remedies.get(at)) {
            Some(remedy) => apply::apply(&args.file, &file, &remedy.trial.job),
            None => {
                let many = remedies.len();
                talk(&format!(
                    "there is no remedy {taken}; {many} help, numbered from 1; nothing was written"
                ));
                ExitStatus::Unusable
            }
        }
    } else {
        ExitStatus::Fine
    };
    let plan = LeanPlan::of(&file.job, &stacks);
    match args.format {
        Format::Text => result(&lean_plan(&plan, look(false)), status),
        Format::Json => match plan.json() {
            Ok(out) => result(&out, status),
            Err(why) => {
                talk(&format!("the plan can't be written as JSON: {why}"));
                ExitStatus::Unusable
            }
        },
    }
}
