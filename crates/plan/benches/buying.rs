//! What the stock plan and the buying cost. Stock: beside putting the longest piece first into the first length that takes it, as
//! one would on a bench, which is also what its lengths are read against. Buying: beside one placement and check of the same job
//! in the same run. Read the ratio: absolute times change from machine to machine. Figures stand in `docs/performance.md`.

use std::time::{Duration, Instant};
use truefall_check::{Profile, check};
use truefall_model::catalog::Catalog;
use truefall_model::catalog::material::Material;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::place::place;
use truefall_model::units::{Length, NominalSize};
use truefall_plan::Site;
use truefall_plan::buy::{Bill, Tried, alternatives, choose};
use truefall_plan::prices::{PriceList, read};
use truefall_plan::stock::{Piece, StockOptions, plan};

fn main() {
    let options = StockOptions {
        lengths: [120.0, 240.0].map(Length::inches).to_vec(),
        kerf: Length::inches(0.125),
        keep: Length::inches(12.0),
    };
    println!(
        "{:<24} {:>10} {:>20}   bought, by hand, bound (ft)",
        "pieces, best of 10", "ms", "ratio to first fit"
    );
    for count in [10, 20, 40, 100, 400] {
        let pieces = pieces(count);
        let (by_hand, first_fit) = best(|| first_fit(&pieces, &options));
        let (took, plan) = best(|| plan(Material::Pvc, NominalSize::TWO, &pieces, &options));
        let feet = |l: Length| l.to_inches() / 12.0;
        println!(
            "{count:<24} {:>10.3} {:>20.0}   {} {} {}{}",
            took.as_secs_f64() * 1e3,
            took.as_secs_f64() / by_hand.as_secs_f64(),
            feet(plan.bought),
            first_fit / 12.0,
            feet(plan.least),
            if plan.proven { "" } else { " not proven" }
        );
    }
    println!("{:<24} {:>10} {:>20}", "buying, best of 10", "ms", "ratio to place + check");
    for (what, text) in [
        ("one bath", include_str!("../../../scenes/one_bath.ron")),
        ("demo", include_str!("../../../scenes/bungalow.ron")),
    ] {
        let job = JobFile::read("bench.ron", text).expect("the job reads").job;
        let profile = Profile::builtin(job.code.as_str()).expect("its code is built in");
        let (baseline, _) = best(|| {
            let placed = place(&job, Catalog::builtin()).expect("the job can be placed");
            check(&job, &placed, Catalog::builtin(), &profile, Placement::ALL).len()
        });
        let site = Site::of(&job, Catalog::builtin()).expect("the job can be placed");
        let row = |step: &str, took: Duration, note: String| {
            let ratio = took.as_secs_f64() / baseline.as_secs_f64();
            println!(
                "{:<24} {:>10.2} {ratio:>20.1}   {note}",
                format!("{what}, {step}"),
                took.as_secs_f64() * 1e3
            );
        };
        let (took, bill) = best(|| Bill::of(&site, &options));
        row("bill", took, format!("{} lines", bill.lines.len()));
        let (took, tried) = best(|| alternatives(&site, &options, &bill, |_, _| ()));
        row("all swaps", took, format!("{} offered, {} refused", tried.offers.len(), tried.refused.len()));
        let prices = prices(&bill, &tried);
        let (took, choice) = best(|| choose(&site, &options, &bill, &prices, &tried.offers));
        row("choice", took, format!("{} taken", choice.taken.len()));
    }
}

/// Made-up prices for all that is bought, by the length of its name: only that they differ matters here.
fn prices(bill: &Bill, tried: &Tried) -> PriceList {
    let mut rows: Vec<String> = bill
        .lines
        .iter()
        .chain(tried.offers.iter().flat_map(|o| &o.bill.lines))
        .map(|line| {
            let (name, material) = (line.item.to_string(), line.item.material().map_or("", |m| m.word()));
            format!("{name},{material},{},{}\n", line.unit, 1 + name.len() * 5 % 17)
        })
        .collect();
    rows.sort();
    rows.dedup();
    read("bench.csv", &format!("item,material,unit,price\n{}", rows.concat())).expect("the prices read")
}

/// Lengths as a house has them, 3 in to 8 ft, from a fixed row of numbers (Park and Miller's).
fn pieces(count: usize) -> Vec<Piece> {
    let mut state: u64 = 77;
    (1..=count)
        .map(|number| {
            state = state * 48_271 % 2_147_483_647;
            Piece { number, cut: Length::inches(3.0 + (state % 1488) as f64 / 16.0) }
        })
        .collect()
}

/// Inches bought by putting the longest piece first into the first length that takes it, each bought as short as may be.
fn first_fit(pieces: &[Piece], options: &StockOptions) -> f64 {
    let kerf = options.kerf.to_inches();
    let lengths: Vec<f64> = options.lengths.iter().map(|l| l.to_inches()).collect();
    let longest = lengths.iter().copied().fold(0.0, f64::max);
    let mut sizes: Vec<f64> = pieces.iter().map(|p| p.cut.to_inches() + kerf).collect();
    sizes.sort_by(|a, b| b.total_cmp(a));
    let mut loads: Vec<f64> = Vec::new();
    for size in sizes {
        match loads.iter_mut().find(|load| **load + size <= longest + kerf) {
            Some(load) => *load += size,
            None => loads.push(size),
        }
    }
    let shortest = |load: &f64| lengths.iter().copied().filter(|l| *load <= l + kerf).fold(longest, f64::min);
    loads.iter().map(shortest).sum()
}

fn best<T>(run: impl Fn() -> T) -> (Duration, T) {
    let once = || {
        let start = Instant::now();
        let what = std::hint::black_box(run());
        (start.elapsed(), what)
    };
    (0..9).map(|_| once()).fold(once(), |best, next| if next.0 < best.0 { next } else { best })
}
