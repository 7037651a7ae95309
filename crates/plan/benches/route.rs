//! What looking for routes costs in the demo house and along walls of 40 and 400 studs, beside one placement and check of the same
//! job in the same run. Read the ratio: absolute times change from machine to machine. Figures stand in `docs/performance.md`.

use std::time::{Duration, Instant};
use truefall_check::{Profile, check};
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::place;
use truefall_plan::Bench;
use truefall_plan::route::{Asked, routes};

fn main() {
    let demo = include_str!("../../../scenes/bungalow.ron");
    let bath = include_str!("../../../scenes/one_bath.ron");
    // The same wall made longer: its studs stand 16 in on centre.
    let wall = |studs: u32| {
        bath.replace("to: (\"11' 0\", \"2' 0\")", &format!("to: (\"{}\", \"2' 0\")", 12 + 16 * studs))
    };
    println!("{:<44} {:>10} {:>22}", "best of 20", "ms", "ratio to place + check");
    for (what, text, fixture, k) in [
        ("demo, lavatory, best route", demo.to_owned(), "lavatory", 1),
        ("demo, lavatory, 5 routes", demo.to_owned(), "lavatory", 5),
        ("demo, closet, best route", demo.to_owned(), "closet", 1),
        ("one bath, lavatory, best route", bath.to_owned(), "lav", 1),
        ("wall of 40 studs, best route", wall(40), "lav", 1),
        ("wall of 400 studs, best route", wall(400), "lav", 1),
    ] {
        let job = JobFile::read("bench.ron", &text).expect("the job reads").job;
        let profile = Profile::builtin(job.code.as_str()).expect("its code is built in");
        let baseline = best(|| {
            let placed = place(&job, Catalog::builtin()).expect("the job can be placed");
            check(&job, &placed, Catalog::builtin(), &profile, Placement::ALL).len()
        });
        let took = best(|| found(&job, &profile, fixture, k));
        let ratio = took.as_secs_f64() / baseline.as_secs_f64();
        let count = found(&job, &profile, fixture, k);
        println!("{what:<44} {:>10.2} {ratio:>22.1}   ({count} found)", took.as_secs_f64() * 1e3);
    }
}

fn found(job: &Job, profile: &Profile, fixture: &str, k: usize) -> usize {
    let bench = Bench { job, catalog: Catalog::builtin(), profile, placements: Placement::ALL };
    let fixture = Label::new(fixture);
    let asked = Asked { fixture: &fixture, to: None, k, why_not: false, prices: None };
    routes(&bench, &asked).expect("the question can be put").routes.len()
}

fn best(run: impl Fn() -> usize) -> Duration {
    (0..20)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(run());
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}
