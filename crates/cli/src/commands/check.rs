//! `truefall check FILE`.

use super::{catalog, job};
use crate::args::{Check, Format};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{in_colour, result, talk};
use truefall_model::units::Fineness;
use truefall_packet::{Asked, Look, Style, examine_with, json, text};

/// Reads, places, checks and reports one job.
pub fn run(args: &Check) -> ExitStatus {
    let start = std::time::Instant::now();
    // Both are read before either ends the run, so that the faults of both are told at once.
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let (Some(catalog), Some(file)) = (catalog, file) else { return ExitStatus::Unusable };
    let read = start.elapsed();
    let asked = Asked { placements: args.placement.placements(), passes: args.all, fixes: args.fixes };
    let examined = match examine_with(&file.job, &catalog, &asked) {
        Ok(examined) => examined,
        Err(faults) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
    };
    if args.timings {
        for (step, took) in std::iter::once(("read", read)).chain(examined.timings) {
            talk(&format!("{step:>8} {:8.1} ms", took.as_secs_f64() * 1000.0));
        }
    }
    let report = &examined.report;
    let out = match args.format {
        Format::Text => text(report, look(args.eighths)),
        Format::Json => match json(report) {
            Ok(out) => out,
            Err(why) => {
                talk(&format!("the report can't be written as JSON: {why}"));
                return ExitStatus::Unusable;
            }
        },
    };
    result(&out, if report.counts.red_tag > 0 { ExitStatus::RedTags } else { ExitStatus::Fine })
}

/// How text looks on this stdout.
pub(super) fn look(eighths: bool) -> Look {
    Look {
        style: if in_colour(&std::io::stdout()) { Style::Colour } else { Style::Plain },
        fineness: if eighths { Fineness::Eighth } else { Fineness::Sixteenth },
    }
}
