//! Offsets on the route graph against handbook multipliers: what a leg between two bends travels for its set.
//!
//! The figures are those of `tests/data/published.ron`, where their sources stand: a handbook's 12 in offset by 45s (Elements of
//! Plumbing, chapter on measurements), the trade multiplier 2.613 for 1/16 bends, and the worked example of a rolling offset of 12 and
//! 8 on a trade teaching page. There they are put to placement; here to the route search, which must find the offset by itself.

use nalgebra::{Point2, Vector2};
use std::cell::RefCell;
use std::collections::BTreeMap;
use truefall_check::Profile;
use truefall_check::bore::Occupants;
use truefall_model::catalog::Catalog;
use truefall_model::catalog::material::Material;
use truefall_model::framing::frame::Framed;
use truefall_model::job::file::JobFile;
use truefall_model::job::pipes::PortName;
use truefall_model::label::Label;
use truefall_model::place::RunId;
use truefall_model::units::NominalSize;
use truefall_plan::route::cost::USUAL;
use truefall_plan::route::goal::Goal;
use truefall_plan::route::graph::{Escape, State};
use truefall_plan::route::leg::{LegEnd, Site};
use truefall_plan::route::lines::{Line, STEP_RAD};
use truefall_plan::route::search::{Limits, Next, cheapest};
use truefall_plan::route::tees::{How, Tee};
use truefall_plan::route::turn::level_bends;
use truefall_plan::route::wood::Wood;
use truefall_tests::scene::folder;

/// The states of the cheapest way from the origin to a point, where the tee heads along +x or freely; between, there are the line
/// that comes in at an angle of so many steps and the line along +x through the end.
fn way(end: Point2<f64>, steps: Option<f64>) -> Vec<State> {
    let scene = "routes/ok_closet_under_joist.ron";
    let text = std::fs::read_to_string(folder().join(scene)).expect("the scene can be read");
    let house = JobFile::read(scene, &text).expect("the scene reads").job.house;
    let catalog = Catalog::builtin();
    let profile = Profile::builtin("irc-2021").expect("a built-in code");
    let (material, size) = (Material::Pvc, NominalSize::TWO);
    let (framed, _) = Framed::of(&house);
    let hub = LegEnd { laying: 1.5, socket: 0.75, hub_radius: 1.375 };
    let site = Site {
        framed: &framed,
        wood: Wood::new(&framed, &profile, catalog),
        built: Occupants::new(Vec::new(), []),
        names: Vec::new(),
        runs: Vec::new(),
        material,
        size,
        pipe_radius: 1.1875,
        coupling: None,
    };
    // Well under the joists: nothing is in the way.
    let z = -40.0;
    let tees = [Tee {
        how: How::Given(PortName { fitting: Label::new("T"), port: None }),
        run: RunId(0),
        pattern: "2 sanitary tee".to_owned(),
        at: Point2::origin(),
        heights: vec![z],
        heading: steps.map(|_| Vector2::x()),
        end: hub,
        cost: 0.0,
        beside: Vec::new(),
    }];
    let goal = Goal::Under {
        pattern: "2 p-trap".to_owned(),
        flange: None,
        street: false,
        spots: vec![(end, None)],
        z: (z - 1.0, z + 20.0),
        end: hub,
    };
    let mut lines = vec![Line { through: end, way: Vector2::x() }];
    if let Some(steps) = steps {
        let angle = steps * STEP_RAD;
        lines.push(Line { through: Point2::new(12.0, 0.0), way: Vector2::new(angle.cos(), angle.sin()) });
    }
    let (bends, seen) = (level_bends(catalog, &profile, material, size), RefCell::new(BTreeMap::new()));
    let graph = Escape {
        site: &site,
        tees: &tees,
        goal: &goal,
        lines: &lines,
        bends: &bends,
        grade: 0.25 / 12.0,
        base: Vector2::x(),
        weights: &USUAL,
        most_bends: 2,
        longest: 400.0,
        near: 0.26,
        through_stops: false,
        seen: &seen,
    };
    let mut found = Vec::new();
    cheapest(&graph, 1, Limits::NONE, |way| {
        found = way.states.clone();
        Next::Enough
    });
    found
}

/// What the leg between the two bends of an offset travels on the level.
#[track_caller]
fn travel(set: f64, steps: f64, end: f64) -> f64 {
    let states = way(Point2::new(end, set), Some(steps));
    assert_eq!(states.len(), 4, "tee, two bends, end: {states:?}");
    states[2].behind() - states[1].behind()
}

#[test]
fn offsets_travel_by_the_handbook() {
    // Elements of Plumbing multiplies 12 by 1.41: 16.92, where 1.405 to 1.415 may be meant.
    let by_45 = travel(12.0, 2.0, 60.0);
    assert!((by_45 - 16.92).abs() <= 0.06, "{by_45}");
    // Trade multipliers as printed, to three places.
    for (set, steps, multiplier) in [(10.0, 2.0, 1.414), (100.0, 1.0, 2.613), (20.0, 1.0, 2.613)] {
        let travel = travel(set, steps, 300.0);
        assert!((travel - set * multiplier).abs() <= set * 0.0005 + 0.001, "{travel} for {set} at {steps}");
    }
}

#[test]
fn a_rolling_offset_has_the_worked_examples_true_offset_and_travel() {
    // The worked example's true offset of 12 and 8, printed to two places: a leg that runs straight at its end.
    let straight = way(Point2::new(12.0, 8.0), None);
    let [_, end] = straight.as_slice() else { panic!("{straight:?}") };
    assert!((end.behind() - 14.42).abs() <= 0.005, "{}", end.behind());
    // Its travel by 45s and by 22-1/2s, cut off behind two places.
    for (steps, printed) in [(2.0, 20.39), (1.0, 37.68)] {
        let travel = travel(end.behind(), steps, 120.0);
        assert!((travel - printed).abs() <= 0.01, "{travel}, printed {printed}");
    }
}
