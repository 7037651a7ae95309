//! What a packet costs, step by step, beside one placement and check of the same job in the same run. Read the ratio: absolute
//! times change from machine to machine. Figures stand in `docs/performance.md`.

use std::time::{Duration, Instant};
use truefall_check::{Profile, check};
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::place::place;
use truefall_model::units::{Fineness, Length};
use truefall_packet::drawing::{self, Subject};
use truefall_packet::packet::packet;
use truefall_packet::say::Say;
use truefall_packet::{Asked, Plans, examine_with};
use truefall_plan::stock::StockOptions;

fn main() {
    let catalog = Catalog::builtin();
    println!("{:<44} {:>10} {:>22}", "best of 20", "ms", "ratio to place + check");
    for (house, text) in [
        ("demo", include_str!("../../../scenes/bungalow.ron")),
        ("one bath", include_str!("../../../scenes/one_bath.ron")),
    ] {
        let job = JobFile::read("bench.ron", text).expect("the job reads").job;
        let profile = Profile::builtin(job.code.as_str()).expect("its code is built in");
        let baseline = best(|| {
            let placed = place(&job, catalog).expect("the job can be placed");
            check(&job, &placed, catalog, &profile, Placement::ALL).len()
        });
        let told = |what: &str, took: Duration| {
            let ratio = took.as_secs_f64() / baseline.as_secs_f64();
            println!("{:<44} {:>10.2} {ratio:>22.1}", format!("{house}, {what}"), took.as_secs_f64() * 1e3);
        };
        told("placed and checked (baseline)", baseline);
        let asked = Asked { placements: Placement::ALL, passes: true, fixes: false };
        let examine = || examine_with(&job, catalog, &asked).expect("it places");
        let examined = examine();
        let say = Say { fineness: Fineness::Sixteenth, metric: false };
        let subject = Subject::of(&job, &examined, catalog, say);
        let options = || StockOptions {
            lengths: vec![Length::inches(120.0), Length::inches(240.0)],
            kerf: Length::inches(0.125),
            keep: Length::inches(12.0),
        };
        let plan = || Plans::of(&subject, options()).expect("it is placed already");
        let plans = plan();
        told("examined, with what passes", best(|| examine().findings.len()));
        told(
            "loads and vents summed for drawings",
            best(|| Subject::of(&job, &examined, catalog, say).units.len()),
        );
        told("cuts, holes, bill, lean, test", best(|| plan().cuts.cuts.len()));
        told("all drawings", best(|| drawing::all(&subject, &plans.holes).len()));
        told(
            "all files, drawings among them",
            best(|| packet(&subject, &plans, &[]).expect("a packet").len()),
        );
        told(
            "the whole, from the job to the bytes",
            best(|| {
                let examined = examine();
                let subject = Subject::of(&job, &examined, catalog, say);
                let plans = Plans::of(&subject, options()).expect("it is placed already");
                packet(&subject, &plans, &[]).expect("a packet").len()
            }),
        );
    }
}

/// The fastest of twenty: the least disturbed.
fn best<T>(mut step: impl FnMut() -> T) -> Duration {
    (0..20)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(step());
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}
