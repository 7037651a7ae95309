//! `truefall plan heights JOB`.

use super::{apply, buy, catalog, check::look, job};
use crate::args::{Format, Heights};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use crate::progress::Progress;
use truefall_model::job::Placement;
use truefall_packet::heights::{HeightsReport, heights_json, heights_text};
use truefall_plan::Bench;
use truefall_plan::heights::{Means, Outcome, plan};

/// Plans the heights of all stacks and shows them; writes them into the job where that was asked.
pub fn run(args: &Heights) -> ExitStatus {
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let prices = args.prices.as_deref().map(buy::load);
    let (Some(catalog), Some(file)) = (catalog, file) else { return ExitStatus::Unusable };
    let prices = match prices {
        Some(None) => return ExitStatus::Unusable,
        Some(Some(prices)) => Some(prices),
        None => None,
    };
    let Some(profile) = job::profile(&file) else { return ExitStatus::Unusable };
    let placements = [Placement::Drawn, Placement::Found];
    let bench = Bench { job: &file.job, catalog: &catalog, profile: &profile, placements: &placements };
    let means = Means { prices: prices.as_ref(), streets: args.street };
    let (mut bar, all, mut done) = (Progress::new("heights of stacks"), file.job.stacks.len(), 0);
    let planned = plan(&bench, means, &mut |_| {
        done += 1;
        bar.at(done, all);
    });
    // The bar goes before anything is printed.
    drop(bar);
    let planned = match planned {
        Ok(planned) => planned,
        Err(faults) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
    };
    let report = HeightsReport::of(&file.job, &catalog, &planned);
    let out = match args.format {
        Format::Text => heights_text(&report, look(args.eighths)),
        Format::Json => match heights_json(&report) {
            Ok(out) => out,
            Err(why) => {
                talk(&format!("the plan can't be written as JSON: {why}"));
                return ExitStatus::Unusable;
            }
        },
    };
    let stuck = planned.stacks.iter().any(|s| matches!(s.outcome, Outcome::Stuck(_)));
    let accepted = planned.trial.as_ref().filter(|t| t.accepted());
    let status = if stuck || accepted.is_none() { ExitStatus::RedTags } else { ExitStatus::Fine };
    let shown = result(&out, status);
    match accepted {
        Some(trial) if args.apply && shown != ExitStatus::Unusable => {
            match apply::apply(&args.file, &file, &trial.job) {
                ExitStatus::Fine => shown,
                other => other,
            }
        }
        None if args.apply => {
            talk("the plan breaks a rule that held before; nothing was written");
            shown
        }
        _ => shown,
    }
}
