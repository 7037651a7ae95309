//! `truefall cuts JOB`.

use super::check::look;
use super::sheet;
use crate::args::{Cuts, Format, Stock};
use crate::exit_status::ExitStatus;
use crate::output::{result, talk};
use truefall_model::units::Length;
use truefall_packet::{json, text};
use truefall_plan::cuts::CutList;
use truefall_plan::stock::{StockOptions, of_cuts};

/// Lists the cuts of one job.
pub fn run(args: &Cuts) -> ExitStatus {
    let Some(options) = stock(&args.stock) else { return ExitStatus::Unusable };
    let Some((catalog, file)) = sheet::read(&args.file, args.catalog.as_deref()) else {
        return ExitStatus::Unusable;
    };
    let Some(site) = sheet::site(&file, &catalog) else { return ExitStatus::Unusable };
    let list = CutList::of(&site);
    let plans = of_cuts(&list, &options);
    match args.format {
        Format::Text => result(&text::cuts::cuts(&list, &plans, &options, look(false)), ExitStatus::Fine),
        Format::Json => sheet::json(json::sheet(&json::cuts::cuts(&list, &plans, &options))),
    }
}

/// The stock as asked for, or nothing once what is wrong with it was told.
pub fn stock(args: &Stock) -> Option<StockOptions> {
    if args.lengths.contains(&Length::ZERO) {
        talk("--stock: a length of pipe is more than nothing");
        return None;
    }
    Some(StockOptions { lengths: args.lengths.clone(), kerf: args.kerf, keep: args.keep })
}
