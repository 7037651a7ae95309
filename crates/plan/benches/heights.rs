//! What solving a stack costs, by how many tees it has. The named baseline is one placement of the same stack: what a
//! search by trying would pay for every single try.

use truefall_model::catalog::Catalog;
use truefall_model::catalog::material::Material;
use truefall_model::job::Job;
use truefall_model::job::file::JobFile;
use truefall_model::job::pipes::{End, Fit};
use truefall_model::label::Label;
use truefall_model::units::NominalSize;
use truefall_plan::heights::{Choice, Column, Connector, Spans, Station, Tip, settle, solve};

fn main() {
    divan::main();
}

const TEES: [usize; 4] = [4, 8, 12, 24];

fn choice(name: &str, at: f64) -> Choice {
    let pattern = Catalog::builtin().pattern(name).expect("the catalog has it");
    let leave = pattern.leave.expect("a run goes on");
    let mut choice = Choice::of(pattern, pattern.enter, leave).expect("it lies straight");
    choice.heights = Spans::one(at - 1.0, at + 1.0).without_inside(at + 0.25, at + 0.5);
    choice
}

/// Tees 8 in apart, each with two sizes of branch or of run to choose from; 3 in at the foot, 2 in at the top.
fn column(tees: usize) -> Column {
    let stations = (0..tees)
        .map(|i| {
            let at = 12.0 + 8.0 * i as f64;
            let fits =
                ["3x3x2 sanitary tee", "3x3x3 sanitary tee", "3x2x2 sanitary tee", "2x2x2 sanitary tee"];
            Station {
                name: Label::new(format!("T{i}")),
                wish_in: None,
                choices: fits.iter().map(|f| choice(f, at)).collect(),
            }
        })
        .collect();
    let connectors = ["3x2 bushing", "3x2 reducer"]
        .iter()
        .map(|name| {
            let c = choice(name, 0.0);
            Connector {
                fit: c.fit,
                below: c.below,
                above: c.above,
                length_in: c.rise_in + c.top_in,
                cents: 0,
                unpriced: 0,
            }
        })
        .collect();
    let foot = Tip { size: NominalSize::THREE, hub: true, socket_in: 2.75 };
    Column { foot, foot_in: 0.0, stations, connectors, top: Some(NominalSize::TWO), ceiling: None }
}

/// A stack of as many tees hub to hub.
fn job(tees: usize) -> Job {
    let path =
        concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes/rules/piece-too-short/ok_make_up_piece.ron");
    let mut job = JobFile::load(std::path::Path::new(path)).expect("the scene reads").job;
    let stack = &mut job.stacks[0];
    stack.material = Material::Pvc;
    let like: Fit = stack.up[0].clone();
    stack.up = (0..tees)
        .map(|i| Fit {
            fit: Label::new("3x3x2 sanitary tee"),
            name: Label::new(format!("T{i}")),
            ..like.clone()
        })
        .collect();
    stack.end = End::Open {};
    job
}

#[divan::bench(args = TEES)]
fn solved(bencher: divan::Bencher<'_, '_>, tees: usize) {
    let column = column(tees);
    assert!(solve(&column).is_some());
    bencher.bench(|| solve(divan::black_box(&column)));
}

#[divan::bench(args = TEES)]
fn solved_and_set(bencher: divan::Bencher<'_, '_>, tees: usize) {
    let column = column(tees);
    bencher.bench(|| solve(divan::black_box(&column)).and_then(|chosen| settle(&column, &chosen)));
}

#[divan::bench(args = TEES)]
fn baseline_one_placement(bencher: divan::Bencher<'_, '_>, tees: usize) {
    let job = job(tees);
    bencher.bench(|| truefall_model::place::place(divan::black_box(&job), Catalog::builtin()));
}
