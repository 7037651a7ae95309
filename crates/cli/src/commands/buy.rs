//! `truefall buy JOB`.

use super::apply::apply;
use super::check::look;
use super::{cuts, sheet};
use crate::args::{Buy, Format, TemplateForm};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use crate::progress::Progress;
use std::path::Path;
use truefall_packet::purchase::Purchase;
use truefall_packet::{PriceForm, json, price_file, text};
use truefall_plan::buy::{Bill, Choice, Tried, alternatives, choose};
use truefall_plan::prices::{self, PriceList};
use truefall_plan::stock::StockOptions;

/// Lists what to buy for one job, and with prices what costs less.
pub fn run(args: &Buy) -> ExitStatus {
    // All is read before anything ends the run, so that the faults of all are told at once.
    let read = sheet::read(&args.file, args.catalog.as_deref());
    let list = args.prices.as_deref().map(load);
    let options = cuts::stock(&args.stock);
    let (Some((catalog, file)), Some(options)) = (read, options) else { return ExitStatus::Unusable };
    let list = match list {
        Some(None) => return ExitStatus::Unusable,
        Some(Some(list)) => Some(list),
        None => None,
    };
    let Some(site) = sheet::site(&file, &catalog) else { return ExitStatus::Unusable };
    let bill = Bill::of(&site, &options);
    let tried = |options: &StockOptions| -> Tried {
        let mut progress = Progress::new("trying what costs less");
        alternatives(&site, options, &bill, |done, all| progress.at(done, all))
    };
    if let Some(form) = args.template {
        let form = match form {
            TemplateForm::Csv => PriceForm::Csv,
            TemplateForm::Ron => PriceForm::Ron,
        };
        return match price_file(&bill, &tried(&options).offers, &list.unwrap_or_default(), form) {
            Ok(out) => result(&out, ExitStatus::Fine),
            Err(why) => {
                talk(&format!("the template can't be written: {why}"));
                ExitStatus::Unusable
            }
        };
    }
    let Some(list) = list else { return show(args.format, &Purchase::unpriced(&bill)) };
    let all = tried(&options);
    let choice: Choice = choose(&site, &options, &bill, &list, &all.offers);
    let status = show(args.format, &Purchase::priced(&bill, &list, &all, &choice));
    if args.apply && status == ExitStatus::Fine { apply(&args.file, &file, &choice.job) } else { status }
}

fn show(format: Format, purchase: &Purchase<'_>) -> ExitStatus {
    match format {
        Format::Text => result(&text::buy::buy(purchase, look(false)), ExitStatus::Fine),
        Format::Json => sheet::json(json::sheet(&json::buy::buy(purchase))),
    }
}

/// The prices of a file (`.ron` in the notation of a job, any other comma-separated), or nothing once what is wrong with it was told.
pub fn load(path: &Path) -> Option<PriceList> {
    let text = match std::fs::read_to_string(path) {
        Ok(text) => text,
        Err(why) => {
            talk(&format!("{} can't be read: {why}", path.display()));
            return None;
        }
    };
    prices::read(&path.display().to_string(), &text).map_err(|faults| fault_report::show(&faults)).ok()
}
