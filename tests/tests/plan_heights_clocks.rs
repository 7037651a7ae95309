//! Free clocks of a stack against brute force: every pair of hours placed, and held to the joists as placement has the tees.

use nalgebra::Point3;
use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::document::read_text;
use truefall_model::job::clock::Clock;
use truefall_model::job::{Job, Placement};
use truefall_model::place::{RoughIn, place};
use truefall_model::units::Angle;
use truefall_plan::Bench;
use truefall_plan::heights::clock::hours;
use truefall_plan::heights::offer::{Ask, column};
use truefall_plan::heights::riser::Riser;
use truefall_plan::heights::window::windows;
use truefall_plan::heights::{Means, Outcome, plan, solve};

/// A riser between two joists with two tees for later work: their heights are given, their clocks are not.
fn job(runs: &str, west: f64, east: f64, low: f64, high: f64) -> Job {
    // Joists are counted from the floor's outline, the riser from the middle.
    let (west, east) = (west + 72.0, east + 72.0);
    let text = format!(
        r#"Job(
  name: "between two joists",
  house: House(floors: [Floor(name: "first", datum: true, outline: (("-6' 0", "-6' 0"), ("6' 0", "6' 0")),
    joists: Joists(size: "2x8", runs: {runs}, edges: ["{west}", "{east}"]))]),
  stacks: [Stack(name: "riser", base: CutPipe(size: "3", material: pvc, at: ("0", "0"), top: "4' 0 below first rough"),
    up: [
      Fit(name: "C1", fit: "3 coupling"),
      Fit(name: "T1", fit: "3x3x2 sanitary tee", height: "{low} off first rough"),
      Fit(name: "T2", fit: "3x3x2 sanitary tee", height: "{high} off first rough"),
    ])],
  branches: [
    Branch(name: "later 1", from: "T1", along: [Fit(name: "K1", fit: "2 plug")], end: Capped),
    Branch(name: "later 2", from: "T2", along: [Fit(name: "K2", fit: "2 plug")], end: Capped),
  ],
)"#
    );
    read_text("between.ron", &text).unwrap_or_else(|f| panic!("{f}"))
}

fn turned(job: &Job, turns: [Option<u32>; 2]) -> RoughIn {
    let mut job = job.clone();
    for (at, hour) in turns.into_iter().enumerate() {
        job.stacks[0].up[at + 1].clock = hour.map(|h| Clock::at(Angle::degrees(30.0 * f64::from(h))));
    }
    place(&job, Catalog::builtin()).unwrap_or_else(|f| panic!("{f:?}"))
}

/// Whether a tee as placed stands in a joist or the subfloor: its run as wide as its widest hub from face to face, its branch out to
/// its hub's face. Both are told as placement has their ports.
fn in_wood(rough_in: &RoughIn, tee: &str) -> bool {
    let part = rough_in.parts.iter().find(|p| p.label.as_str() == tee).expect("it is there");
    let centre = rough_in.drawn.origin(part.id);
    let ports = part.ports();
    let pattern = part.pattern().expect("it is a fitting");
    let face = |port: usize| {
        let stop = rough_in.drawn.stop(rough_in, part.id, port);
        stop + rough_in.drawn.axis(rough_in, part.id, port) * ports[port].socket.to_inches()
    };
    let widest = pattern.ports.iter().map(|p| p.outside.to_inches()).fold(0.0, f64::max) / 2.0;
    let (down, up, branch) = (face(0), face(1), face(2));
    let radius = pattern.ports[2].outside.to_inches() / 2.0;
    let level = (branch - centre).xy();
    let far = centre.xy()
        + level.normalize()
            * (part.pattern().expect("it is one").ports[2].laying + ports[2].socket).to_inches();
    rough_in.framed.members.iter().filter(|m| !m.kind.is_upright()).any(|member| {
        let (low, high) = member.bounds();
        let beside = |p: Point3<f64>| {
            let x = (low.x - p.x).max(p.x - high.x).max(0.0);
            let y = (low.y - p.y).max(p.y - high.y).max(0.0);
            x.hypot(y)
        };
        let run = beside(centre) < widest - 1e-9 && down.z < high.z - 1e-9 && up.z > low.z + 1e-9;
        let steps = (0..=400).map(|i| centre.xy().coords.lerp(&far.coords, f64::from(i) / 400.0));
        let crosses = steps.map(|p| Point3::new(p.x, p.y, centre.z)).any(|p| beside(p) < radius - 1e-9);
        run || (crosses && centre.z - radius < high.z - 1e-9 && centre.z + radius > low.z + 1e-9)
    })
}

struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % below
    }
}

// Sixteen stacks between two joists at random, tees in and about the joists' depth: the clocks the search leaves open are those that
// placement finds clear, and it finds a pair of them wherever there is one.
#[test]
fn free_clocks_are_those_that_every_pair_of_hours_placed_leaves_clear() {
    let profile = Profile::builtin("irc-2021").expect("it is there");
    let placements = [Placement::Drawn, Placement::Found];
    let mut dice = Dice(0x00c1_0c4b_0a7d_1e57);
    let (mut none, mut some_shut, mut all_open) = (0, 0, 0);
    for n in 0..16 {
        // A 2x8 is 1-1/2 wide: the near faces are 2-1/8 to 5-1/8 from the centre.
        let west = -(2.125 + dice.roll(48) as f64 / 16.0) - 1.5;
        let east = 2.125 + dice.roll(48) as f64 / 16.0;
        let low = -26.0 + dice.roll(320) as f64 / 16.0;
        let high = low + 7.0 + dice.roll(64) as f64 / 16.0;
        let job = job("y", west, east, low, high);
        let rough_in = place(&job, Catalog::builtin()).unwrap_or_else(|f| panic!("{f:?}"));
        let bench =
            Bench { job: &job, catalog: Catalog::builtin(), profile: &profile, placements: &placements };
        let site = Riser::of(&job, Catalog::builtin(), &rough_in, 0).expect("it can be planned");
        let own = windows(&site, &profile).expect("it can be raised");
        let free = hours(&site, &bench, &[], &own);
        assert_eq!(free.iter().map(Vec::len).collect::<Vec<_>>(), [12, 12]);
        let ask = Ask { prices: None, streets: false, clear_of_wood: true, sizes_as_written: true };
        let mut column = column(&site, &own, &free, &ask);
        for station in &mut column.stations {
            station.choices.retain(|c| c.fit.as_str() == "3x3x2 sanitary tee" && c.branch_bushing.is_none());
        }
        let found = solve(&column);
        // Every pair of hours is placed.
        let mut pairs = 0;
        for one in 1..=12 {
            for other in 1..=12 {
                let rough_in = turned(&job, [Some(one), Some(other)]);
                pairs += usize::from(!in_wood(&rough_in, "T1") && !in_wood(&rough_in, "T2"));
            }
        }
        assert_eq!(found.is_some(), pairs > 0, "stack {n}: {west} {east} {low} {high}");
        match pairs {
            0 => none += 1,
            144 => all_open += 1,
            _ => some_shut += 1,
        }
        if let Some(chosen) = found {
            let hour = |s: usize| {
                let clock = column.stations[s].choices[chosen.steps[s].0].clock;
                clock.map(|c| (c.angle().to_degrees() / 30.0).round() as u32)
            };
            let rough_in = turned(&job, [hour(0), hour(1)]);
            assert!(!in_wood(&rough_in, "T1") && !in_wood(&rough_in, "T2"), "stack {n}");
        }
    }
    println!("{none} with no clock, {some_shut} with some, {all_open} with all");
    assert!(none >= 2 && some_shut >= 4 && all_open >= 1, "{none} {some_shut} {all_open}");
}

// A tee that looks into a joist is turned out of it, and only its clock changes.
#[test]
fn a_tee_that_looks_into_a_joist_is_turned() {
    // Without a clock it looks to 12: the joist lies there, not to its right.
    let job = job("x", -20.0, 3.0, -20.0, -5.0);
    let profile = Profile::builtin("irc-2021").expect("it is there");
    let placements = [Placement::Drawn, Placement::Found];
    let bench = Bench { job: &job, catalog: Catalog::builtin(), profile: &profile, placements: &placements };
    let planned = plan(&bench, Means::default(), &mut |_| {}).unwrap_or_else(|f| panic!("{f:?}"));
    let Outcome::Solved(solved) = &planned.stacks[0].outcome else { panic!("{:?}", planned.stacks) };
    assert!(solved.in_wood.is_empty(), "{:?}", solved.in_wood);
    let after = &planned.trial.as_ref().expect("it was tried").job;
    let (was, is) = (&job.stacks[0].up[2], &after.stacks[0].up[2]);
    assert!(is.clock.is_some() && is.height == was.height && is.fit == was.fit, "{is:?}");
    assert_eq!(job.stacks[0].up[1], after.stacks[0].up[1]);
}
