//! The route search on the graph it really searches, headings in steps of 22.5 degrees, against looking at every way there is.
//!
//! Exhaustive search is the outside answer: it knows no bound and no order, and walks every way from every start. What a leg
//! costs and what stops it comes from the same collision checks; only which ways are looked at is put to the test.

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
use truefall_plan::route::lines::{Line, headings};
use truefall_plan::route::search::{Graph, Limits, Next, cheapest};
use truefall_plan::route::tees::{How, Tee};
use truefall_plan::route::turn::level_bends;
use truefall_plan::route::wood::Wood;
use truefall_tests::scene::folder;

/// Cases with a way, and the most that are made to get them.
const WITH_A_WAY: usize = 100;
const CASES: usize = 4000;

/// The least cost of any way from a state on, walked out whole.
fn everything(graph: &Escape<'_>, at: &State, cost: f64, least: &mut Option<f64>) {
    if graph.done(at) {
        *least = Some(least.map_or(cost, |l: f64| l.min(cost)));
        return;
    }
    for (to, step) in graph.steps(at) {
        if let Some(beyond) = graph.beyond(at, &to) {
            everything(graph, &to, cost + step + beyond, least);
        }
    }
}

#[test]
fn the_cheapest_route_is_the_least_of_all_ways_on_the_graph() {
    let scene = "routes/ok_closet_under_joist.ron";
    let text = std::fs::read_to_string(folder().join(scene)).expect("the scene can be read");
    let house = JobFile::read(scene, &text).expect("the scene reads").job.house;
    let catalog = Catalog::builtin();
    let profile = Profile::builtin("irc-2021").expect("a built-in code");
    let (material, size) = (Material::Pvc, NominalSize::TWO);
    let (framed, _) = Framed::of(&house);
    let mut seed: u64 = 20_261_125;
    let mut random = move |below: u32| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as u32 % below
    };
    let (mut with_a_way, mut with_a_bend) = (0, 0);
    let mut cases = 0;
    for case in 0..CASES {
        if with_a_way == WITH_A_WAY {
            break;
        }
        cases += 1;
        let mut point = || Point2::new(14.0 + f64::from(random(110)), 30.0 + f64::from(random(70)));
        let (start, end, via) = (point(), point(), [point(), point()]);
        // In the joists or under them.
        let z = -4.5 - f64::from(random(3)) * 4.0;
        let bends = level_bends(catalog, &profile, material, size);
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
        // A tee clocked freely heads straight at the fixture and bends for nothing: most look one way instead.
        let all: Vec<Vector2<f64>> = headings(Vector2::x()).collect();
        let turned = (random(8) > 0).then(|| all[random(16) as usize]);
        let tees = [Tee {
            how: How::Given(PortName { fitting: Label::new("T"), port: None }),
            run: RunId(0),
            pattern: "2 sanitary tee".to_owned(),
            at: start,
            heights: vec![z],
            heading: turned,
            end: hub,
            cost: 0.0,
            beside: Vec::new(),
        }];
        let goal = Goal::Under {
            pattern: "2 p-trap".to_owned(),
            flange: None,
            street: false,
            spots: vec![(end, None)],
            z: (z - 20.0, z + 20.0),
            end: hub,
        };
        let ways: Vec<Vector2<f64>> = headings(Vector2::x()).take(8).collect();
        let mut lines: Vec<Line> =
            (0..4).map(|_| Line { through: end, way: ways[random(8) as usize] }).collect();
        lines.extend(via.map(|through| Line { through, way: ways[random(8) as usize] }));
        let seen = RefCell::new(BTreeMap::new());
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
            longest: 200.0,
            near: 0.26,
            through_stops: false,
            seen: &seen,
        };
        let mut got = None;
        cheapest(&graph, 1, Limits::NONE, |way| {
            got = Some((way.cost, way.states.len()));
            Next::Enough
        });
        let mut least = None;
        for (state, cost) in graph.starts() {
            everything(&graph, &state, cost, &mut least);
        }
        match (got, least) {
            (None, None) => {}
            (Some((got, states)), Some(least)) => {
                assert!((got - least).abs() < 1e-9, "case {case}: {got}, the least of all is {least}");
                with_a_way += 1;
                with_a_bend += usize::from(states > 2);
            }
            other => panic!("case {case}: {other:?}"),
        }
    }
    assert_eq!(with_a_way, WITH_A_WAY, "of {cases}");
    assert!(cases > with_a_way, "both kinds");
    assert!(with_a_bend >= 50, "{with_a_bend} of {with_a_way}");
}
