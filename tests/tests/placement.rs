//! Placement against an independent library: where the fittings of chains sit, plumb and on a leaning base.
//!
//! `tests/references/placement_transforms.py` composes the same chains with scipy's rotations; its output is committed.

use nalgebra::{Point3, Vector3};
use serde::Deserialize;
use std::fmt::Write as _;
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::place::{PartId, Placed, RoughIn, place};

#[derive(Deserialize)]
struct Reference {
    chains: Vec<Chain>,
}

#[derive(Deserialize)]
struct Chain {
    base: [f64; 3],
    east: f64,
    north: f64,
    fits: Vec<Fit>,
    drawn: Vec<[f64; 3]>,
    found: Vec<[f64; 3]>,
    end: [f64; 3],
    axis: [f64; 3],
    found_end: [f64; 3],
    found_axis: [f64; 3],
}

#[derive(Deserialize)]
struct Fit {
    fit: String,
    enter: String,
    leave: String,
    cut: f64,
    clock: f64,
}

/// The chain as a job: one stack on an iron hub, its lean read with two strings.
fn job(chain: &Chain) -> String {
    let [x, y, z] = chain.base;
    let mut up = String::new();
    for (i, fit) in chain.fits.iter().enumerate() {
        let Fit { fit, enter, leave, cut, clock } = fit;
        writeln!(
            up,
            r#"Fit(name: "E{i}", fit: "{fit}", enter: "{enter}", leave: "{leave}", cut: "{cut}", clock: "{clock} deg"),"#
        )
        .expect("a string takes what is written");
    }
    format!(
        r#"Job(
  name: "a chain",
  house: House(
    floors: [Floor(name: "first", datum: true)],
    walls: [
      Wall(name: "east", floor: "first", from: ("200' 0", "-200' 0"), to: ("200' 0", "200' 0")),
      Wall(name: "north", floor: "first", from: ("200' 0", "200' 0"), to: ("-200' 0", "200' 0")),
    ],
  ),
  stacks: [Stack(
    name: "S",
    base: IronHub(size: "3", at: ("{x}", "{y}"), rim: "{z} off first rough", depth: "2 3/4"),
    lean: [
      PlumbString(toward: "east", gaps: [Gap(up: "0", gap: "3"), Gap(up: "64", gap: "{}")]),
      PlumbString(toward: "north", gaps: [Gap(up: "0", gap: "3"), Gap(up: "64", gap: "{}")]),
    ],
    up: [{up}],
  )],
)"#,
        chain.east, chain.north
    )
}

fn centres(placed: &Placed, parts: &[PartId]) -> Vec<Point3<f64>> {
    parts.iter().map(|p| placed.origin(*p)).collect()
}

fn near(what: &str, ours: Point3<f64>, theirs: [f64; 3]) {
    let off = (ours - Point3::from(theirs)).norm();
    assert!(off < 1e-9, "{what}: {ours} for {theirs:?}, {off:e} off");
}

/// Where the last fitting is open, and which way that looks.
fn open_end(rough_in: &RoughIn, placed: &Placed, last: PartId, leave: &str) -> (Point3<f64>, Vector3<f64>) {
    let port = rough_in.part(last).ports().iter().position(|p| p.name.as_str() == leave);
    let port = port.expect("the reference names ports of the catalog");
    (placed.stop(rough_in, last, port), placed.axis(rough_in, last, port))
}

#[test]
fn chains_of_fittings_sit_where_an_independent_library_puts_them() {
    let reference: Reference =
        serde_json::from_str(include_str!("../references/placement_transforms.json")).unwrap();
    assert!(reference.chains.len() >= 10);
    for (n, chain) in reference.chains.iter().enumerate() {
        let file = JobFile::read("chain", &job(chain)).unwrap_or_else(|e| panic!("{e}"));
        let rough_in = place(&file.job, Catalog::builtin()).unwrap_or_else(|f| panic!("chain {n}: {f:?}"));
        let parts: Vec<PartId> = rough_in.runs[0].fits.iter().map(|f| f.1).collect();
        for (placed, theirs, end, axis) in [
            (&rough_in.drawn, &chain.drawn, chain.end, chain.axis),
            (&rough_in.found, &chain.found, chain.found_end, chain.found_axis),
        ] {
            let ours = centres(placed, &parts);
            assert_eq!(ours.len(), theirs.len(), "chain {n}");
            for (i, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
                near(&format!("chain {n}, {} fitting {i}", placed.placement.word()), *ours, *theirs);
            }
            let (stop, out) =
                open_end(&rough_in, placed, parts[parts.len() - 1], &chain.fits[parts.len() - 1].leave);
            near(&format!("chain {n}, its open end"), stop, end);
            near(&format!("chain {n}, the way it looks"), Point3::from(out), axis);
        }
    }
}

/// The comparison would see a wrong clock: a degree on the first fitting that turns moves what follows.
#[test]
fn a_degree_of_clock_is_seen() {
    let mut reference: Reference =
        serde_json::from_str(include_str!("../references/placement_transforms.json")).unwrap();
    let chain = &mut reference.chains[0];
    for fit in &mut chain.fits {
        fit.clock += 1.0;
    }
    let file = JobFile::read("chain", &job(chain)).unwrap_or_else(|e| panic!("{e}"));
    let rough_in = place(&file.job, Catalog::builtin()).unwrap();
    let last = rough_in.drawn.origin(rough_in.runs[0].fits[chain.fits.len() - 1].1);
    assert!((last - Point3::from(chain.drawn[chain.fits.len() - 1])).norm() > 1e-3);
}
