//! What planning vents costs in the demo house and in small networks, beside one placement and check of the same job in the same
//! run. Read the ratio: absolute times change from machine to machine. Figures stand in `docs/performance.md`.

use std::time::{Duration, Instant};
use truefall_check::{Profile, check};
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::job::pipes::End;
use truefall_model::job::{Job, Placement};
use truefall_model::place::place;
use truefall_plan::Bench;
use truefall_plan::vents::{VentPlan, Wanted, Weights, plan};

fn main() {
    let demo = include_str!("../../../scenes/bungalow.ron");
    let capped = include_str!("../../../scenes/rules/trap-not-vented/bad_vent_capped.ron");
    println!("{:<48} {:>10} {:>22}", "best of 10", "ms", "ratio to place + check");
    for (what, text, shut, k) in [
        ("one vent capped, best way", capped, None, 1),
        ("demo, washer's vent capped, best way", demo, Some("washer vent"), 1),
        ("demo, washer's vent capped, 3 ways", demo, Some("washer vent"), 3),
    ] {
        let mut job = JobFile::read("bench.ron", text).expect("the job reads").job;
        for branch in job.branches.iter_mut().filter(|b| Some(b.name.as_str()) == shut) {
            branch.end = End::Capped {};
        }
        let profile = Profile::builtin(job.code.as_str()).expect("its code is built in");
        let (baseline, _) = best(|| {
            let placed = place(&job, Catalog::builtin()).expect("the job can be placed");
            check(&job, &placed, Catalog::builtin(), &profile, Placement::ALL).len()
        });
        let (took, found) = best(|| found(&job, &profile, k));
        let ratio = took.as_secs_f64() / baseline.as_secs_f64();
        let left = found.needs.len() - mended(&found);
        println!(
            "{what:<48} {:>10.2} {ratio:>22.1}   ({} traps, {} ways, {left} left, {} trials, {:.2} points{})",
            took.as_secs_f64() * 1e3,
            found.needs.len(),
            found.offers.len(),
            found.trials,
            found.cost.map_or(0.0, |c| c.points),
            if found.cheapest { "" } else { ", not known to be the cheapest" }
        );
    }
}

fn mended(plan: &VentPlan) -> usize {
    let needs: std::collections::BTreeSet<usize> =
        plan.chosen.iter().flat_map(|o| plan.offers[*o].needs.iter().copied()).collect();
    needs.len()
}

fn found(job: &Job, profile: &Profile, k: usize) -> VentPlan {
    let bench = Bench { job, catalog: Catalog::builtin(), profile, placements: Placement::ALL };
    let rough_in = place(job, Catalog::builtin()).expect("the job can be placed");
    let before = check(job, &rough_in, Catalog::builtin(), profile, Placement::ALL);
    let weights = Weights::usual();
    plan(&bench, &rough_in, &before, Wanted { best: k, weights: &weights, prices: None }, &mut |_, _| ())
}

fn best<T>(run: impl Fn() -> T) -> (Duration, T) {
    let once = || {
        let start = Instant::now();
        let what = std::hint::black_box(run());
        (start.elapsed(), what)
    };
    (0..9).map(|_| once()).fold(once(), |best, next| if next.0 < best.0 { next } else { best })
}
