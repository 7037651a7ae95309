//! Route puzzles: jobs under `scenes/routes/` with one right answer known by hand, and the search against looking at everything.
//!
//! Shares of studs are IRC R602.6 (40, 60 and doubled 60 percent), arms IRC Table P3105.1 and UPC Table 1002.2, bits common practice;
//! lumber sizes PS 20. Each sum stands on the first line of its scene.

use std::collections::BTreeMap;
use truefall_check::{Profile, Verdict};
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::label::Label;
use truefall_plan::route::search::{Graph, Limits, Next, cheapest};
use truefall_plan::route::{Answer, Asked, routes};
use truefall_plan::{Bench, attempt};
use truefall_tests::scene::folder;

/// The answer for a scene's lavatory.
#[track_caller]
fn answer(scene: &str) -> Answer {
    answer_for(scene, "lav")
}

/// The answer for a fixture of a scene; every route that comes back is tried once more, and can be slid into its holes.
#[track_caller]
fn answer_for(scene: &str, fixture: &str) -> Answer {
    let path = folder().join(format!("routes/{scene}.ron"));
    let text = std::fs::read_to_string(&path).expect("the scene can be read");
    let job = JobFile::read(scene, &text).unwrap_or_else(|e| panic!("{scene}: {e}")).job;
    let profile = Profile::builtin(job.code.as_str()).expect("a built-in code");
    let bench =
        Bench { job: &job, catalog: Catalog::builtin(), profile: &profile, placements: Placement::ALL };
    let fixture = Label::new(fixture);
    let answer = routes(&bench, &Asked { fixture: &fixture, to: None, k: 1, why_not: false, prices: None })
        .unwrap_or_else(|e| panic!("{scene}: {e}"));
    let placed = truefall_model::place::place(&job, Catalog::builtin()).expect("the scene can be placed");
    let before = truefall_check::check(&job, &placed, Catalog::builtin(), &profile, Placement::ALL);
    for route in &answer.routes {
        let again = attempt(&bench, &before, route.edits.clone()).expect("its edits fit the job");
        assert!(again.accepted(), "{scene}: {:?}", again.breaks);
        let red = again.findings.iter().find(|f| f.verdict == Verdict::RedTag && f.labels.contains(&fixture));
        assert!(red.is_none(), "{scene}: {red:?}");
        let arm = Label::new(format!("{fixture} arm"));
        let long =
            |f: &&truefall_check::Finding| f.rule == "piece-longer-than-bay" && f.labels.contains(&arm);
        let long = again.findings.iter().filter(long).find(|f| f.verdict == Verdict::Watch);
        assert!(long.is_none(), "{scene}: {long:?}");
    }
    answer
}

/// One route with a single 1/4 bend and so many couplings, through these studs.
#[track_caller]
fn found(scene: &str, couplings: usize, studs: &[&str]) {
    let answer = answer(scene);
    let [route] = answer.routes.as_slice() else { panic!("{scene}: {:?}", answer.misses) };
    let bored: Vec<&str> = route.holes.iter().map(|h| h.0.as_str()).collect();
    let mut fittings = vec!["1-1/2 coupling"; couplings];
    fittings.push("1-1/2 1/4 bend");
    assert_eq!(route.fittings, fittings, "{scene}");
    let mut bored = bored;
    bored.sort_unstable();
    assert_eq!(bored, studs, "{scene}");
}

/// No route, stopped by this, and what it would take where that is known.
#[track_caller]
fn none(scene: &str, stop: &str, takes: Option<&str>) {
    let answer = answer(scene);
    assert!(answer.routes.is_empty(), "{scene}: {:?}", answer.routes);
    let told = answer.misses.iter().any(|m| m.stops.iter().chain(&m.red).any(|s| s.contains(stop)));
    assert!(told, "{scene}: {:?}", answer.misses);
    if let Some(takes) = takes {
        let told = answer.misses.iter().any(|m| m.takes.iter().any(|t| t.words.contains(takes)));
        assert!(told, "{scene}: {:?}", answer.misses);
    }
}

#[test]
fn puzzles_with_one_right_answer() {
    found("ok_2x6_not_bearing", 1, &["wet stud 3", "wet stud 4"]);
    found("ok_2x6_bearing", 1, &["wet stud 3", "wet stud 4"]);
    found("ok_old_2x4", 1, &["wet stud 3", "wet stud 4"]);
    found("ok_box_above", 1, &["wet stud 3", "wet stud 4"]);
    found("ok_arm_of_five_feet", 1, &["wet stud 3", "wet stud 4", "wet stud 5", "wet stud 6"]);
    found("ok_same_bay", 0, &[]);
    found("ok_box_below", 1, &["wet stud 3", "wet stud 4"]);
    found("ok_other_side", 1, &["wet stud 5", "wet stud 6"]);
}

#[test]
fn pipe_goes_in_whole_where_a_bay_takes_it_and_is_coupled_where_none_does() {
    found("ok_one_stud", 0, &["wet stud 4"]);
    found("ok_one_stud_coupled", 1, &["wet stud 4"]);
    found("ok_bay_just_long_enough", 0, &["wet stud 4", "wet stud 4 ply 2"]);
    // The leg is 12 in from centre to centre; with the 1/4 bend's 1 3/4 its pipe is 7 3/4 and the bay 7 1/4. A long turn has 2 3/4.
    let answer = answer("ok_bay_short_long_turn");
    assert_eq!(answer.routes[0].fittings, ["1-1/2 long-turn 1/4 bend"], "{:?}", answer.misses);
}

// Where the wall can't be had, the drain goes under the floor and up behind the basin, to a tee with its own vent: common
// practice; a riser under an arm without that vent would drop the arm (IRC P3105).
#[test]
fn where_the_wall_is_full_the_drain_goes_under() {
    let scenes = [
        "under_bay_full",
        "under_box_at_tee",
        "under_2x4_not_bearing",
        "under_arm_too_long",
        "under_upc_arm",
    ];
    for scene in scenes {
        let answer = answer(scene);
        let [route] = answer.routes.as_slice() else { panic!("{scene}: {:?}", answer.misses) };
        assert!(route.fittings.ends_with(&["1-1/2x1-1/2x1-1/2 sanitary tee".to_owned()]), "{route:?}");
        assert!(!route.holes.iter().any(|h| h.0.as_str().contains("stud")), "{scene}: {:?}", route.holes);
        assert!(!route.unvented, "{scene}");
        // 12 ft from foot to roof: a clamp at the tee, and hangers under the floor; PVC is held every 10 ft upright and every
        // 4 ft level (IRC Table P2605.1). The UPC holds it upright at base and floors, so its scene asks for no clamp.
        let level = (route.level.to_inches() / 48.0).ceil() as usize - 1;
        assert_eq!(
            route.hangers.len(),
            usize::from(scene != "under_upc_arm") + level,
            "{scene}: {:?}",
            route.hangers
        );
    }
}

#[test]
fn five_routes_differ_in_tee_side_fittings_or_wood() {
    let scene = "routes/under_bay_full.ron";
    let text = std::fs::read_to_string(folder().join(scene)).expect("the scene can be read");
    let job = JobFile::read(scene, &text).expect("the scene reads").job;
    let profile = Profile::builtin(job.code.as_str()).expect("a built-in code");
    let bench =
        Bench { job: &job, catalog: Catalog::builtin(), profile: &profile, placements: Placement::ALL };
    let asked = Asked { fixture: &Label::new("lav"), to: None, k: 5, why_not: false, prices: None };
    let routes = routes(&bench, &asked).expect("the question can be put").routes;
    assert_eq!(routes.len(), 5);
    for (i, one) in routes.iter().enumerate() {
        for other in &routes[..i] {
            assert!(one.cost >= other.cost);
            let (a, b) = ((&one.fittings, &one.holes, &one.way), (&other.fittings, &other.holes, &other.way));
            assert_ne!(a, b);
        }
    }
}

#[test]
fn a_closet_arm_passes_under_joists_that_end_above_it() {
    let answer = answer_for("ok_closet_under_joist", "closet");
    let [route] = answer.routes.as_slice() else { panic!("{:?}", answer.misses) };
    assert_eq!(route.fittings, ["3 1/4 bend", "3 closet flange"]);
    assert!(route.holes.is_empty(), "{:?}", route.holes);
}

#[test]
fn doubled_studs_are_bored_where_single_ones_are_not() {
    let answer = answer("ok_doubled");
    assert_eq!(answer.routes.len(), 1, "{:?}", answer.misses);
    assert_eq!(answer.routes[0].holes.len(), 4, "two plies each: {:?}", answer.routes[0].holes);
}

#[test]
fn puzzles_without_an_answer_say_what_stops_and_what_it_takes() {
    none("none_2x4_not_bearing", "at most 2.100 in", Some("2\" bit"));
    none("none_bearing_4", "at most 1.600 in", Some("double"));
}

#[test]
fn puzzles_without_an_answer_say_which_arm_is_too_long() {
    none("none_arm_too_long", "trap-arm-too-long", None);
}

#[test]
fn puzzles_without_an_answer_say_which_arm_is_too_long_by_the_other_code() {
    none("none_upc_arm", "trap-arm-too-long", None);
}

#[test]
fn puzzles_without_an_answer_say_what_takes_the_room() {
    none("none_bay_full", "box", None);
    none("none_box_at_tee", "box", None);
}

#[test]
fn puzzles_without_an_answer_say_where_a_hub_lands_in_wood() {
    none("none_hub_in_wood", "wet stud 3", None);
}

/// A grid with blocked cells and a price for each turn; state: cell and heading.
struct Grid {
    side: i32,
    blocked: Vec<bool>,
    price: Vec<f64>,
    turn: f64,
}

type Cell = (i32, i32, u8);

impl Grid {
    fn open(&self, x: i32, y: i32) -> bool {
        (0..self.side).contains(&x)
            && (0..self.side).contains(&y)
            && !self.blocked[(y * self.side + x) as usize]
    }

    fn next(&self, from: &Cell) -> Vec<(Cell, f64)> {
        let ways = [(1, 0), (0, 1), (-1, 0), (0, -1)];
        let turned = |way: u8| if way == from.2 { 0.0 } else { self.turn };
        (0..4_u8)
            .filter(|way| (way + 2) % 4 != from.2)
            .map(|way| {
                ((from.0 + ways[way as usize].0, from.1 + ways[way as usize].1, way), 1.0 + turned(way))
            })
            .filter(|((x, y, _), _)| (0..self.side).contains(x) && (0..self.side).contains(y))
            .collect()
    }
}

impl Graph for Grid {
    type State = Cell;

    fn starts(&self) -> Vec<(Cell, f64)> {
        (0..4).map(|way| ((0, 0, way), 0.0)).collect()
    }

    fn steps(&self, from: &Cell) -> Vec<(Cell, f64)> {
        self.next(from)
    }

    fn beyond(&self, _: &Cell, to: &Cell) -> Option<f64> {
        self.open(to.0, to.1).then(|| self.price[(to.1 * self.side + to.0) as usize])
    }

    fn done(&self, state: &Cell) -> bool {
        (state.0, state.1) == (self.side - 1, self.side - 1)
    }

    fn least_left(&self, state: &Cell) -> f64 {
        f64::from((self.side - 1 - state.0) + (self.side - 1 - state.1))
    }
}

/// The costs of all ways that come to no cell twice, least first: no order of looking, no bound.
fn everything(grid: &Grid) -> Vec<f64> {
    fn walk(grid: &Grid, at: Cell, cost: f64, been: &mut Vec<(i32, i32)>, best: &mut BTreeMap<Cell, f64>) {
        if grid.done(&at) {
            let least = best.entry(at).or_insert(f64::INFINITY);
            *least = least.min(cost);
            return;
        }
        for (to, step) in grid.next(&at) {
            if been.contains(&(to.0, to.1)) {
                continue;
            }
            let Some(beyond) = grid.beyond(&at, &to) else { continue };
            been.push((to.0, to.1));
            walk(grid, to, cost + step + beyond, been, best);
            been.pop();
        }
    }
    let mut best = BTreeMap::new();
    for (start, cost) in grid.starts() {
        walk(grid, start, cost, &mut vec![(0, 0)], &mut best);
    }
    let mut costs: Vec<f64> = best.into_values().collect();
    costs.sort_by(f64::total_cmp);
    costs
}

// Exhaustive search is the outside answer here: 120 grids, of which none is larger than 4 by 4.
#[test]
fn the_search_finds_what_looking_at_everything_finds() {
    let mut seed: u64 = 20_260_101;
    let mut random = move || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as f64 / (1_u64 << 31) as f64
    };
    let mut with_a_way = 0;
    for _ in 0..120 {
        let side = 3 + i32::from(random() < 0.6);
        let cells = (side * side) as usize;
        let mut blocked: Vec<bool> = (0..cells).map(|_| random() < 0.25).collect();
        blocked[0] = false;
        blocked[cells - 1] = false;
        let price = (0..cells).map(|_| (random() * 8.0).floor() / 4.0).collect();
        let grid = Grid { side, blocked, price, turn: (random() * 12.0).floor() / 4.0 };
        let mut got = Vec::new();
        cheapest(&grid, 1, Limits::NONE, |way| {
            got.push(way.cost);
            Next::More
        });
        assert_eq!(got, everything(&grid), "cheapest to each end, least first");
        with_a_way += usize::from(!got.is_empty());
    }
    assert!(with_a_way >= 60, "only {with_a_way} had a way");
}
