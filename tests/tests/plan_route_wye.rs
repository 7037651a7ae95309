//! A wye cut into a drain that lies: on which side its branch looks, and how far a leg at 45 degrees goes.
//!
//! A wye's branch looks upstream at 45 degrees (common practice; its clock is read looking downstream). An offset by 45s travels its
//! set times 1.414 (handbook Elements of Plumbing, chapter on measurements; there 1.41).

use nalgebra::Point2;
use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::file::JobFile;
use truefall_model::job::pipes::Fit;
use truefall_model::job::point::PlanPoint;
use truefall_model::label::Label;
use truefall_plan::Bench;
use truefall_plan::route::{Asked, routes};
use truefall_tests::scene::folder;

#[track_caller]
fn point(fit: &Fit) -> Point2<f64> {
    match &fit.to.as_ref().expect("it has a plan point").0 {
        PlanPoint::At { x, y } => Point2::new(x.to_inches(), y.to_inches()),
        other => panic!("{other:?}"),
    }
}

/// The wye and the fittings of the near drain's run, where that drain is at this x.
#[track_caller]
fn wye(x: &str) -> (Fit, Vec<Fit>) {
    let scene = "routes/ok_wye_in_drain.ron";
    let text = std::fs::read_to_string(folder().join(scene)).expect("the scene can be read");
    let text = text.replace("(\"7' 0\", \"6' 0\")", &format!("(\"{x}\", \"6' 0\")"));
    let job = JobFile::read(scene, &text).expect("the scene reads").job;
    let profile = Profile::builtin(job.code.as_str()).expect("a built-in code");
    let bench =
        Bench { job: &job, catalog: Catalog::builtin(), profile: &profile, placements: Placement::ALL };
    let (fixture, to) = (Label::new("near drain"), Label::new("drain"));
    let asked = Asked { fixture: &fixture, to: Some(&to), k: 1, why_not: false, prices: None };
    let answer = routes(&bench, &asked).expect("the question can be put");
    let [route] = answer.routes.as_slice() else { panic!("{:?}", answer.misses) };
    assert_eq!(route.tee, "a new 2x2x2 wye in drain");
    assert_eq!(route.fittings, ["2 1/8 bend", "2 p-trap"]);
    let fit = route.edits.iter().find_map(|e| match e {
        Edit::Fit { run, change: Change::Insert { item, .. } } if run.as_str() == "drain" => Some(item),
        _ => None,
    });
    let run = route.edits.iter().find_map(|e| match e {
        Edit::Branch(Change::Insert { item, .. }) => Some(item.along.clone()),
        _ => None,
    });
    ((**fit.expect("a wye is put in")).clone(), run.expect("a branch is put in"))
}

#[test]
fn a_wye_looks_at_its_fixture_and_its_leg_travels_by_the_handbook() {
    // The drain lies at x = 5 ft 6 and its waste flows to -y: what is at greater x is on the left of one who looks downstream.
    for (x, clock) in [("7' 0", "9:00"), ("4' 0", "3:00")] {
        let (wye, run) = wye(x);
        assert_eq!(wye.clock.expect("it is clocked").to_string(), clock, "{x}");
        let (centre, bend) = (point(&wye), point(&run[0]));
        assert!((centre.x - 66.0).abs() < 0.02, "on the drain: {centre}");
        let set = (bend.x - centre.x).abs();
        assert!(set > 3.0 && bend.y > centre.y, "upstream and beside: {centre}, {bend}");
        let travel = (bend - centre).norm();
        // Points are laid out to 1/64 in.
        assert!((travel - 1.414 * set).abs() < 0.03, "{travel} for a set of {set}");
    }
}
