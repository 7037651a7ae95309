//! `truefall plan vents JOB`.

use super::{apply, buy, catalog, job};
use crate::args::{Format, Vents};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{in_colour, result, talk};
use crate::progress::Progress;
use truefall_model::job::{Edit, Placement};
use truefall_model::units::Fineness;
use truefall_packet::vents::VentReport;
use truefall_packet::{Look, Style, examine, vents_text};
use truefall_plan::trial::Bench;
use truefall_plan::vents::{Wanted, Weights, plan};

/// Plans the vents of a job, prints the plan, and writes it into the job where that is asked.
pub fn run(args: &Vents) -> ExitStatus {
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let (Some(catalog), Some(file)) = (catalog, file) else { return ExitStatus::Unusable };
    let prices = match args.prices.as_deref().map(buy::load) {
        Some(None) => return ExitStatus::Unusable,
        Some(Some(prices)) => Some(prices),
        None => None,
    };
    let placements = Placement::ALL;
    let examined = match examine(&file.job, &catalog, placements) {
        Ok(examined) => examined,
        Err(faults) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
    };
    let bench = Bench { job: &file.job, catalog: &catalog, profile: &examined.profile, placements };
    let weights = Weights::usual();
    let wanted = Wanted { best: args.k, weights: &weights, prices: prices.as_ref() };
    let mut bar = Progress::new("vents tried");
    let mut progress = |tried: usize, of: usize| bar.at(tried, of);
    let planned = plan(&bench, &examined.rough_in, &examined.findings, wanted, &mut progress);
    // The bar goes before anything is printed.
    drop(bar);
    let code = format!("{} {}", examined.profile.code(), examined.profile.edition());
    let report = VentReport::of(&file.job.name.to_string(), &code, &planned, args.k, args.why_not);
    let whole = planned.needs.iter().enumerate().all(|(n, _)| planned.offers_for(n).next().is_some());
    let status = if whole { ExitStatus::Fine } else { ExitStatus::RedTags };
    let text = match args.format {
        Format::Text => {
            let style = if in_colour(&std::io::stdout()) { Style::Colour } else { Style::Plain };
            vents_text(&report, Look { style, fineness: Fineness::Sixteenth })
        }
        Format::Json => match report.json() {
            Ok(json) => json,
            Err(why) => {
                talk(&why.to_string());
                return ExitStatus::Unusable;
            }
        },
    };
    let status = result(&text, status);
    if !args.apply {
        return status;
    }
    let mut job = file.job.clone();
    if let Err(why) = Edit::All(planned.edits).apply(&mut job) {
        talk(&why.to_string());
        return ExitStatus::Unusable;
    }
    match apply::apply(&args.file, &file, &job) {
        ExitStatus::Fine => status,
        other => other,
    }
}
