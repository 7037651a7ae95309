//! Route puzzles out of trade practice, and the starts a route may have: what is tried whole on scenes and on the demo house.
//!
//! How a plumber gets round a light box, under a window or past a cabinet is common practice. Shares of wood are IRC R602.6 and
//! R502.8, the outlet's 24 in over its weir IRC P3201.6, grade IRC P3005.3; sums stand on the first lines of the scenes.

use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::label::Label;
use truefall_plan::Bench;
use truefall_plan::route::{Answer, Asked, Route, routes};
use truefall_tests::scene::folder;

/// The answer for a fixture of a scene.
#[track_caller]
fn answer(scene: &str, fixture: &str) -> Answer {
    let path = folder().join(format!("{scene}.ron"));
    let text = std::fs::read_to_string(&path).expect("the scene can be read");
    let job = JobFile::read(scene, &text).unwrap_or_else(|e| panic!("{scene}: {e}")).job;
    let profile = Profile::builtin(job.code.as_str()).expect("a built-in code");
    let bench =
        Bench { job: &job, catalog: Catalog::builtin(), profile: &profile, placements: Placement::ALL };
    let fixture = Label::new(fixture);
    let asked = Asked { fixture: &fixture, to: None, k: 1, why_not: false, prices: None };
    routes(&bench, &asked).unwrap_or_else(|e| panic!("{scene}: {e}"))
}

#[track_caller]
fn route(scene: &str, fixture: &str) -> Route {
    let answer = answer(scene, fixture);
    answer.routes.into_iter().next().unwrap_or_else(|| panic!("{scene}: {:?}", answer.misses))
}

fn bored(route: &Route) -> Vec<&str> {
    let mut found: Vec<&str> = route.holes.iter().map(|h| h.0.as_str()).collect();
    found.sort_unstable();
    found
}

const PLATES: [&str; 3] = ["wet bottom plate 1", "wet top plate 1", "wet top plate 2"];

#[test]
fn a_vent_stands_beside_a_light_box() {
    let route = route("routes/under_light_box", "lav");
    assert_eq!(bored(&route), [&PLATES[..1], &["wet stud 2"], &PLATES[1..]].concat());
    assert!(route.way.iter().any(|leg| leg.contains("out through the roof")), "{:?}", route.way);
    assert!(!route.unvented);
}

#[test]
fn a_vent_stands_beside_a_window_and_its_arm_passes_under_the_sill() {
    let route = route("routes/under_window_over_basin", "lav");
    assert_eq!(bored(&route), [&PLATES[..1], &["wet jack W near", "wet king W near"], &PLATES[1..]].concat());
    assert!(!route.unvented);
}

#[test]
fn an_arm_passes_below_a_recessed_cabinet() {
    let route = route("routes/ok_recessed_cabinet", "lav");
    assert_eq!(bored(&route), ["wet stud 3", "wet stud 4"]);
    assert_eq!(route.fittings, ["1-1/2 coupling", "1-1/2 1/4 bend"]);
}

#[test]
fn a_low_cabinet_sends_the_drain_under() {
    let route = route("routes/under_recessed_cabinet", "lav");
    assert_eq!(bored(&route), PLATES);
}

#[test]
fn joists_are_bored_on_grade_while_there_is_wood() {
    let route = route("routes/ok_joists_on_grade", "tub");
    assert_eq!(bored(&route), ["first joist 6", "first joist 7"]);
}

#[test]
fn a_plugged_tee_is_opened_before_one_is_cut_in() {
    let route = route("routes/ok_free_port", "lav");
    assert_eq!(route.tee, "T2.branch of S1, which is free");
    assert_eq!(bored(&route), ["wet stud 3", "wet stud 4"]);
}

#[test]
fn what_others_hang_on_stays_and_a_street_bend_ends_a_shallow_arm() {
    let route = route("bungalow", "attic closet");
    assert_eq!(route.tee, "Y1 of attic closet arm, which stays for what hangs on it");
    assert_eq!(route.fittings, ["3 street 1/4 bend", "3 closet flange"]);
}

#[test]
fn a_trap_too_far_below_its_tub_has_its_tee_raised() {
    let route = route("bungalow", "tub");
    assert_eq!(route.tee, "T1 of main, set at another height");
    assert!(route.mends.iter().any(|told| told.contains("outlet-too-far-above-weir")), "{:?}", route.mends);
}

#[test]
fn a_lean_is_given_back_by_the_grade() {
    let route = route("bungalow", "closet");
    assert!(route.way.iter().any(|leg| leg.starts_with("laid at 3/8 in per ft")), "{:?}", route.way);
    assert!(route.falls() && route.mends.iter().any(|told| told.contains("drain-too-flat")));
}

#[test]
fn a_standpipe_in_a_stud_is_moved_in_its_wall() {
    let answer = answer("bungalow", "washer");
    assert!(answer.routes.is_empty());
    let takes: Vec<&str> =
        answer.misses.iter().flat_map(|m| m.takes.iter().map(|t| t.words.as_str())).collect();
    assert!(takes.iter().any(|t| t.starts_with("move washer 4\" along laundry wall")), "{:?}", answer.misses);
}
