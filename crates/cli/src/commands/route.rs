//! `truefall plan route FILE FIXTURE`.

use super::{apply, buy, catalog, job};
use crate::args::{Format, Route};
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;
use truefall_model::job::{Edit, Placement};
use truefall_model::label::Label;
use truefall_model::units::Fineness;
use truefall_packet::{routes_json, routes_text};
use truefall_plan::Bench;
use truefall_plan::route::{Answer, Asked, NoRoute, routes};

/// Looks for routes, tells them, and writes one into the job where that is asked for.
pub fn run(args: &Route) -> ExitStatus {
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let (Some(catalog), Some(file)) = (catalog, file) else { return ExitStatus::Unusable };
    let Some(profile) = job::profile(&file) else { return ExitStatus::Unusable };
    let bench = Bench { job: &file.job, catalog: &catalog, profile: &profile, placements: Placement::ALL };
    let (fixture, to) = (Label::new(&*args.fixture), args.to.as_deref().map(Label::new));
    let prices = match args.prices.as_deref().map(buy::load) {
        Some(None) => return ExitStatus::Unusable,
        Some(Some(prices)) => Some(prices),
        None => None,
    };
    let asked = Asked {
        fixture: &fixture,
        to: to.as_ref(),
        k: args.k.get(),
        why_not: args.why_not,
        prices: prices.as_ref(),
    };
    let answer = match watched(&bench, &asked) {
        Ok(answer) => answer,
        Err(NoRoute::Placing(faults)) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
        Err(why) => {
            talk(&why.to_string());
            return ExitStatus::Unusable;
        }
    };
    let out = match args.format {
        Format::Text => routes_text(&answer, Fineness::Sixteenth),
        Format::Json => match routes_json(&answer) {
            Ok(out) => out,
            Err(why) => {
                talk(&format!("the routes can't be written as JSON: {why}"));
                return ExitStatus::Unusable;
            }
        },
    };
    let shown = result(&out, if answer.routes.is_empty() { ExitStatus::RedTags } else { ExitStatus::Fine });
    let Some(number) = args.apply else { return shown };
    if answer.routes.is_empty() {
        talk("there is no route to apply; nothing was written");
        return shown;
    }
    let Some(route) = answer.routes.get(number.get() - 1) else {
        talk(&format!("there is no route {number} to apply; nothing was written"));
        return ExitStatus::Unusable;
    };
    let mut planned = file.job.clone();
    if let Err(why) = Edit::All(route.edits.clone()).apply(&mut planned) {
        talk(&why.to_string());
        return ExitStatus::Unusable;
    }
    apply::apply(&args.file, &file, &planned)
}

/// The search, with a sign of life on stderr where it takes over half a second.
fn watched(bench: &Bench<'_>, asked: &Asked<'_>) -> Result<Answer, NoRoute> {
    let (done, waits) = channel::<()>();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            if waits.recv_timeout(Duration::from_millis(500)) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            let bar = indicatif::ProgressBar::new_spinner().with_message("looking for routes");
            while waits.recv_timeout(Duration::from_millis(100)) == Err(RecvTimeoutError::Timeout) {
                bar.tick();
            }
            bar.finish_and_clear();
        });
        let answer = routes(bench, asked);
        drop(done);
        answer
    })
}
