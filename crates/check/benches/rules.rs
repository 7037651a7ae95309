//! What the demo house costs: placing it, and holding it to all rules, beside a plain check of every part against every
//! member by a general-purpose solver in the same run.
//!
//! The baseline is parry3d-f64 0.31.1 `intersection_test` over all pairs, shapes and poses made ready beforehand; it says of
//! each pair only whether they meet. Read the ratio: absolute times change from machine to machine. Method and figures
//! stand in `docs/performance.md`.

use divan::{Bencher, black_box};
use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use parry3d::math::{Pose, Rotation, Vector};
use parry3d::query::intersection_test;
use parry3d::shape::{Cuboid, Cylinder, Shape};
use std::time::{Duration, Instant};
use truefall_check::check::check_facts;
use truefall_check::ctx::Ctx;
use truefall_check::facts::Facts;
use truefall_check::vent::{Setting, Vents};
use truefall_check::{Profile, check};
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::place::{RoughIn, place};
use truefall_model::solid::Body;

const BOTH: &[Placement] = &[Placement::Drawn, Placement::Found];

fn main() {
    divan::main();
    ratios();
}

/// The demo house, placed.
struct House {
    job: Job,
    rough_in: RoughIn,
    profile: Profile,
}

impl House {
    fn demo() -> Self {
        let text = include_str!("../../../scenes/bungalow.ron");
        let job = JobFile::read("bungalow.ron", text).expect("the demo house reads").job;
        let rough_in = place(&job, Catalog::builtin()).expect("the demo house can be placed");
        let profile = Profile::builtin(job.code.as_str()).expect("its code is built in");
        let profile = profile.with_amendments(&job.local).expect("its amendments are sound");
        Self { job, rough_in, profile }
    }

    fn place(&self) -> usize {
        place(black_box(&self.job), Catalog::builtin()).map_or(0, |placed| placed.parts.len())
    }

    fn facts(&self, placements: &[Placement]) -> Vec<(Placement, Facts)> {
        let of = |p: &Placement| {
            Facts::of(&self.job, black_box(&self.rough_in), Catalog::builtin(), self.rough_in.placed(*p))
        };
        placements.iter().map(|p| (*p, of(p))).collect()
    }

    fn rules(&self, facts: &[(Placement, Facts)]) -> usize {
        check_facts(&self.job, &self.rough_in, Catalog::builtin(), &self.profile, black_box(facts)).len()
    }

    fn check(&self, placements: &[Placement]) -> usize {
        check(&self.job, black_box(&self.rough_in), Catalog::builtin(), &self.profile, placements).len()
    }
}

/// Bodies of parts and members, as the baseline wants them.
struct AllPairs {
    parts: Vec<(Pose, Box<dyn Shape>)>,
    members: Vec<(Pose, Box<dyn Shape>)>,
}

impl AllPairs {
    fn of(house: &House) -> Self {
        let parts = &house.rough_in.parts;
        let bodies = parts.iter().flat_map(|part| house.rough_in.drawn.bodies_of(part.id));
        let members = house.rough_in.framed.members.iter();
        let boxes = members.map(|m| Body::Cuboid { pose: m.pose, half: m.half });
        Self { parts: bodies.map(shape).collect(), members: boxes.map(|body| shape(&body)).collect() }
    }

    fn pairs(&self) -> usize {
        self.parts.len() * self.members.len()
    }

    fn meet(&self) -> usize {
        let meets = |(p, part): &(Pose, Box<dyn Shape>), (q, member): &(Pose, Box<dyn Shape>)| {
            intersection_test(black_box(p), part.as_ref(), q, member.as_ref()).is_ok_and(|f| f.intersecting)
        };
        self.parts.iter().map(|part| self.members.iter().filter(|member| meets(part, member)).count()).sum()
    }
}

fn shape(body: &Body) -> (Pose, Box<dyn Shape>) {
    let pose = |at: Isometry3<f64>| {
        let (t, q) = (at.translation.vector, at.rotation.coords);
        Pose::from_parts(Vector::new(t.x, t.y, t.z), Rotation::from_xyzw(q.x, q.y, q.z, q.w))
    };
    match *body {
        Body::Cuboid { pose: at, half } => {
            (pose(at), Box::new(Cuboid::new(Vector::new(half.x, half.y, half.z))))
        }
        Body::Cylinder { a, b, radius_in } => {
            let turn = UnitQuaternion::rotation_between(&Vector3::y(), &(b - a));
            let upside_down = || UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI);
            let centre: Point3<f64> = nalgebra::center(&a, &b);
            let at = Isometry3::from_parts(centre.coords.into(), turn.unwrap_or_else(upside_down));
            (pose(at), Box::new(Cylinder::new((b - a).norm() / 2.0, radius_in)))
        }
    }
}

#[divan::bench]
fn placement(bencher: Bencher<'_, '_>) {
    let house = House::demo();
    bencher.bench_local(|| house.place());
}

#[divan::bench]
fn facts_of_one_placement(bencher: Bencher<'_, '_>) {
    let house = House::demo();
    bencher.bench_local(|| house.facts(&BOTH[..1]).len());
}

#[divan::bench]
fn all_rules_on_the_facts_of_both(bencher: Bencher<'_, '_>) {
    let house = House::demo();
    let facts = house.facts(BOTH);
    bencher.bench_local(|| house.rules(&facts));
}

#[divan::bench]
fn facts_and_all_rules_of_both(bencher: Bencher<'_, '_>) {
    let house = House::demo();
    bencher.bench_local(|| house.check(BOTH));
}

#[divan::bench]
fn baseline_all_pairs_by_parry(bencher: Bencher<'_, '_>) {
    let pairs = AllPairs::of(&House::demo());
    bencher.counter(pairs.pairs()).bench_local(|| pairs.meet());
}

/// Times taken in turns, so that all see the same machine, and each as a ratio to the baseline.
fn ratios() {
    // Under `cargo test` benches are only to run once.
    let quick = std::env::args().any(|arg| arg == "--test");
    let house = House::demo();
    let (pairs, facts) = (AllPairs::of(&house), house.facts(BOTH));
    let steps: [(&str, &dyn Fn() -> usize); 5] = [
        ("all pairs by parry, as drawn", &|| pairs.meet()),
        ("placement, both", &|| house.place()),
        ("facts, as drawn", &|| house.facts(&BOTH[..1]).len()),
        ("all rules on the facts, both", &|| house.rules(&facts)),
        ("facts and all rules, both", &|| house.check(BOTH)),
    ];
    let mut took: Vec<Vec<Duration>> = vec![Vec::new(); steps.len()];
    for _ in 0..if quick { 1 } else { 200 } {
        for ((_, step), took) in steps.iter().zip(&mut took) {
            let start = Instant::now();
            black_box(step());
            took.push(start.elapsed());
        }
    }
    let medians: Vec<f64> = took.iter_mut().map(|times| median(times)).collect();
    println!(
        "\n{} parts' bodies x {} members, medians taken in turns",
        pairs.parts.len(),
        pairs.members.len()
    );
    for ((name, _), median) in steps.iter().zip(&medians) {
        println!("{name:30} {:8.3} ms  {:6.2} x the baseline", median * 1e3, median / medians[0]);
    }
    slowest(&house, &facts, medians[0], if quick { 1 } else { 50 });
}

/// How the traps are vented and the slowest rules, both placements, each as a ratio to the baseline.
fn slowest(house: &House, facts: &[(Placement, Facts)], baseline: f64, times: usize) {
    let House { job, rough_in, profile } = house;
    let catalog = Catalog::builtin();
    let setting = |p: &Placement| Setting { job, rough_in, catalog, profile, placed: rough_in.placed(*p) };
    let vents: Vec<Vents> = facts.iter().map(|(p, _)| Vents::of(&setting(p))).collect();
    let time = |step: &dyn Fn() -> usize| {
        let mut took: Vec<Duration> = (0..times)
            .map(|_| {
                let start = Instant::now();
                black_box(step());
                start.elapsed()
            })
            .collect();
        median(&mut took)
    };
    let mut took: Vec<(&str, f64)> = vec![(
        "how traps are vented",
        time(&|| facts.iter().map(|(p, _)| Vents::of(black_box(&setting(p))).traps.len()).sum()),
    )];
    for rule in truefall_check::rules::ALL {
        let run = || {
            let mut found = Vec::new();
            for ((p, facts), vents) in facts.iter().zip(&vents) {
                let placed = rough_in.placed(*p);
                let ctx = Ctx { job, rough_in, profile, catalog, placed, facts, vents, passes: false };
                (rule.check)(black_box(&ctx), &mut found);
            }
            found.len()
        };
        took.push((rule.id, time(&run)));
    }
    took.sort_by(|a, b| b.1.total_cmp(&a.1));
    println!("\nthe slowest, medians of {times}; {} rules in all", took.len() - 1);
    for (name, median) in took.iter().take(12) {
        println!("{name:30} {:8.3} ms  {:6.3} x the baseline", median * 1e3, median / baseline);
    }
}

fn median(times: &mut [Duration]) -> f64 {
    times.sort();
    times[times.len() / 2].as_secs_f64()
}
