//! The lean planner against trigonometry, the joints' published angles and what must hold of any rigid stack.
//!
//! Sources: a plumb line and a level (common practice); the angles that joints may stand at: ASTM A74 with C564 gaskets 5
//! degrees, of which the catalog allows 3, ASTM C1460 and C1173 sleeves 1/2 in per ft, of which it allows 2 degrees, a cured
//! solvent weld none (all from memory; figures of policy, told so in the catalog).

#![expect(clippy::unwrap_used, reason = "what these helpers run is what the test is about")]

use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::place::{RoughIn, place};
use truefall_plan::Bench;
use truefall_plan::lean::{Kind, StackLean, lean};

/// A plumb half bath that is clean, its readings changed so that it leans toward the end wall by so much over 24 in.
fn leaning(over_24: &str) -> String {
    let text = include_str!("../../../scenes/one_bath.ron");
    let plumb =
        "Gap(up: \"0\", gap: \"2 1/2\"), Gap(up: \"12\", gap: \"2 1/2\"), Gap(up: \"24\", gap: \"2 1/2\")";
    assert!(text.contains(plumb));
    let gap = |at: f64| 6.0 - at * over_24.parse::<f64>().unwrap() / 24.0;
    let gaps: Vec<String> =
        [0.0, 12.0, 24.0].iter().map(|at| format!("Gap(up: \"{at}\", gap: \"{}\")", gap(*at))).collect();
    text.replace(plumb, &gaps.join(", "))
}

fn planned(text: &str) -> (Vec<StackLean>, RoughIn) {
    let job = JobFile::read("lean.ron", text).unwrap().job;
    let (catalog, profile) = (Catalog::builtin(), Profile::builtin(job.code.as_str()).unwrap());
    let rough_in = place(&job, catalog).unwrap();
    let bench = Bench { job: &job, catalog, profile: &profile, placements: Placement::ALL };
    (lean(&bench).unwrap(), rough_in)
}

fn grades(rough_in: &RoughIn, placement: Placement) -> Vec<(String, f64)> {
    let placed = rough_in.placed(placement);
    let legs = rough_in.legs.iter().filter_map(|leg| {
        let high = leg.high.map_or_else(String::new, |p| rough_in.part(p).label.to_string());
        let name = format!("{} {}", rough_in.run(leg.run).label, high);
        Some((name, rough_in.grade(placed, leg.id)?.to_per_foot()))
    });
    legs.collect()
}

// What a stack set plumb carries falls as it was drawn: a rigid body turned back to where it was drawn.
#[test]
fn a_stack_set_plumb_has_the_grades_it_was_drawn_with() {
    let (stacks, now) = planned(&leaning("0.375"));
    let drawn = grades(&now, Placement::Drawn);
    let mut looked = 0;
    for remedy in &stacks[0].remedies {
        if matches!(remedy.kind, Kind::Plumb | Kind::CutBack | Kind::Bends) {
            let found = grades(&remedy.trial.rough_in, Placement::Found);
            for (run, grade) in &drawn {
                let (_, is) = found.iter().find(|(name, _)| name == run).unwrap();
                assert!((is - grade).abs() < 1e-9, "{}: {run} {grade} {is}", remedy.words);
                looked += 1;
            }
        }
    }
    assert!(looked >= 2 * drawn.len(), "{looked} legs of {:?}", stacks[0].remedies.len());
}

// 3/8 in over 2 ft is 3/16 in per ft: atan(0.1875 / 12) = 0.895 degrees. A leg that heads the way of the lean loses all of
// it, one square to it nothing (plumb line and level).
#[test]
fn the_lean_comes_off_the_grade_of_what_heads_its_way() {
    let (stacks, _) = planned(&leaning("0.375"));
    let lean = stacks[0].leaning.as_ref().unwrap();
    assert!((lean.in_per_ft - 0.1875).abs() < 1e-9 && (lean.angle.to_degrees() - 0.895_19).abs() < 1e-4);
    let lav = stacks[0].effects.iter().find(|e| e.run == "lav arm").unwrap();
    assert!(lav.off_lean_deg.unwrap() < 1e-6);
    assert!((lav.drawn - lav.found - 0.1875).abs() < 1e-3, "{lav:?}");
    assert!(lav.error > 0.03 && lav.error < 0.06);
}

// 3 in per ft is 14 degrees: no joint takes it. 1/2 in per ft, 2.39 degrees, is within the gasket's 3 and over the sleeve's 2.
#[test]
fn a_joint_is_never_asked_more_than_it_may_stand_at() {
    for (over_24, gasket, sleeve) in [("0.375", true, true), ("1", true, false), ("2", false, false)] {
        let (stacks, _) = planned(&leaning(over_24));
        let stack = &stacks[0];
        let within = |kind: Kind| {
            let proposed = stack.remedies.iter().filter(|r| r.kind == kind).filter_map(|r| r.asked.clone());
            let refused = stack.refused.iter().filter(|r| r.kind == kind).filter_map(|r| r.asked.clone());
            for asked in proposed.clone() {
                assert!(asked.asks.to_radians() <= asked.limit.to_radians() + 1e-9, "{asked:?}");
            }
            proposed.chain(refused).any(|asked| asked.allowed())
        };
        assert_eq!(within(Kind::Plumb), gasket, "{over_24}");
        assert_eq!(within(Kind::CutBack), sleeve, "{over_24}");
        let glued = stack.refused.iter().find(|r| r.words.contains("between T1 and T2")).unwrap();
        assert!(glued.why.contains("may stand at 0"), "{}", glued.why);
    }
}

#[test]
fn what_is_proposed_takes_nothing_new_into_the_red_and_is_ranked_by_what_is_left() {
    let (stacks, _) = planned(&leaning("0.375"));
    let remedies = &stacks[0].remedies;
    assert!(!remedies.is_empty() && remedies[0].red[1] < remedies[0].red[0]);
    assert!(remedies.windows(2).all(|two| two[0].red[1] <= two[1].red[1]));
    assert!(remedies.iter().all(|r| !r.trial.edits.is_empty()));
}

// The offset of a pair of bends is square to the lean, so that it stays in the wall where the stack leans out of it.
#[test]
fn a_pair_of_bends_stands_plumb_with_every_joint_true() {
    let text = include_str!("../../../scenes/one_bath.ron");
    let plumb = "Gap(up: \"0\", gap: \"3\"), Gap(up: \"12\", gap: \"3\"), Gap(up: \"24\", gap: \"3\")";
    assert!(text.contains(plumb));
    let leans =
        "Gap(up: \"0\", gap: \"3\"), Gap(up: \"12\", gap: \"2 3/4\"), Gap(up: \"24\", gap: \"2 1/2\")";
    // Two bends need their length: the hub lower down than in the scene.
    let text = text.replace(plumb, leans).replace("2' 4 below first rough", "4' 0 below first rough");
    let (stacks, now) = planned(&text);
    let pair = stacks[0].remedies.iter().find(|r| r.kind == Kind::Bends);
    let why: Vec<&str> = stacks[0].refused.iter().map(|r| r.why.as_str()).collect();
    let pair = pair.unwrap_or_else(|| panic!("{why:#?}"));
    let found = grades(&pair.trial.rough_in, Placement::Found);
    for (run, grade) in grades(&now, Placement::Drawn) {
        let (_, is) = found.iter().find(|(name, _)| *name == run).unwrap();
        assert!((is - grade).abs() < 1e-9, "{run} {grade} {is}");
    }
    assert!(pair.trial.rough_in.joints.iter().all(|joint| joint.turned.to_radians() == 0.0));
}

#[test]
fn a_plumb_stack_needs_nothing() {
    let (stacks, _) = planned(include_str!("../../../scenes/one_bath.ron"));
    assert!(stacks[0].surveyed && stacks[0].remedies.is_empty() && stacks[0].refused.is_empty());
}
