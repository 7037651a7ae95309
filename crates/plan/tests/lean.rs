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
    // The offset between their centres is the travel times the sine of the bend (handbook triangle), to the little that the lean turns it.
    let line = pair.lines.iter().find(|l| l.starts_with("centres of the two")).unwrap();
    let numbers: Vec<f64> = line.split_whitespace().filter_map(|w| w.parse().ok()).collect();
    let angle: f64 = if pair.words.contains("1/8") { 45.0 } else { 22.5 };
    assert!((numbers[1] - numbers[0] * angle.to_radians().sin()).abs() < 0.1, "{line}");
}

#[test]
fn a_plumb_stack_needs_nothing() {
    let (stacks, _) = planned(include_str!("../../../scenes/one_bath.ron"));
    assert!(stacks[0].surveyed && stacks[0].remedies.is_empty() && stacks[0].refused.is_empty());
}

/// Where a thing of the stack is, as found.
fn z_of(rough_in: &RoughIn, name: &str) -> f64 {
    let part = rough_in.parts.iter().find(|p| p.label.as_str() == name).unwrap();
    rough_in.found.origin(part.id).z
}

// By hand, a plumb line and a tape: the rim is 28 below the floor, the hub 2-3/4 deep, so the joint lies 30-3/4 = 2.5625 ft under the rough
// floor. At 3/16 in per ft the stack is to be drawn over by 0.1875 x 2.5625 = 0.4805 there, 1/2 to the sixteenth.
#[test]
fn how_far_it_is_drawn_over_is_the_lean_times_the_height_over_the_joint() {
    let (stacks, _) = planned(&leaning("0.375"));
    let all = stacks[0].remedies.iter().map(|r| (r.kind, &r.lines));
    let (_, lines) = all.into_iter().find(|(kind, _)| *kind == Kind::Plumb).unwrap();
    assert_eq!(
        lines[0],
        "at first rough, 2.56 ft over the joint: draw it over or wedge it by 1/2\" (0.188 x 2.56 = 0.480 in)"
    );
}

// Over a height of up a brace that draws the stack over by s asks atan(s / up) of the joint at its foot; the lean itself asks
// atan(0.1875 / 12), and a brace is set in whole sixteenths below that.
#[test]
fn a_brace_asks_of_its_joint_what_the_triangle_says() {
    let (stacks, _) = planned(&leaning("0.375"));
    let proposed = stacks[0].remedies.iter().filter(|r| r.kind == Kind::Brace).map(|r| (&r.words, &r.asked));
    let refused = stacks[0].refused.iter().filter(|r| r.kind == Kind::Brace).map(|r| (&r.words, &r.asked));
    let (words, asked) = proposed.chain(refused).next().unwrap();
    // The wall is 8 ft 1-1/8 high, the joint 30-3/4 below its floor: 127.875 up, 1.998 over, 1-15/16 in sixteenths.
    assert!(words.contains("by 1 15/16\""), "{words}");
    let by_hand = (1.9375f64 / 127.875).atan().to_degrees();
    let asked = asked.as_ref().unwrap();
    assert!((asked.asks.to_degrees() - by_hand).abs() < 1e-3 && asked.allowed(), "{asked:?} {by_hand}");
}

// Standard error of a slope through readings at 0, 12 and 24 with 1/16 each: 1/16 / sqrt(12² + 12²) (any handbook of statistics), 0.00368 in per in,
// 0.0442 in per ft. What stands so high over the foot is known to that times its height.
#[test]
fn every_effect_has_the_error_of_the_readings_times_its_lever() {
    let (stacks, rough_in) = planned(&leaning("0.375"));
    let slope = 0.0625 / 288.0_f64.sqrt();
    let lean = stacks[0].leaning.as_ref().unwrap();
    assert!((lean.error - 12.0 * slope).abs() < 1e-6, "{}", lean.error);
    let lav = stacks[0].effects.iter().find(|e| e.run == "lav arm").unwrap();
    assert!((lav.error - 12.0 * slope).abs() < 1e-3, "{}", lav.error);
    let landing =
        rough_in.found.landings.iter().find(|l| rough_in.run(l.run).label.as_str() == "lav arm").unwrap();
    let up = landing.at.z - z_of(&rough_in, "S1 base");
    let [x, _, _] = lav.off_error.unwrap();
    assert!((x - slope * up).abs() < 1e-3, "{x} for {}", slope * up);
    for effect in &stacks[0].effects {
        let lands = effect.lands.as_ref().unwrap();
        assert!(effect.error > 0.0 && lands.error.unwrap() > 0.0, "{effect:?}");
    }
}

// A trap arm of a vented lavatory is told with its length and its fall against the code's (IRC 2021 Table P3201.1 and P3201.3, from memory: no
// more fall than the pipe is wide).
#[test]
fn a_vented_arm_is_told_with_its_limits() {
    let (stacks, _) = planned(include_str!("../../../scenes/bungalow.ron"));
    let arm = stacks[0].effects.iter().find(|e| e.run == "attic lavatory arm").unwrap();
    let (long, falls) = (arm.arm.as_ref().unwrap(), arm.arm_falls.as_ref().unwrap());
    assert!(long.margin().unwrap() > 0.0 && long.value > 30.0, "{long:?}");
    assert!(
        (falls.value + falls.margin().unwrap() - 1.5).abs() < 1e-9 && falls.error.unwrap() > 0.0,
        "{falls:?}"
    );
}

// The same stack on a cut end with a sleeve: 0.895 degrees are within the sleeve's 2, 2.39 are over (1/2 in per ft of ASTM C1460 and C1173, from
// memory).
#[test]
fn a_sleeve_on_a_cut_end_takes_the_lean_within_its_own_limit() {
    for (over_24, taken) in [("0.375", true), ("1", false)] {
        let hub = "IronHub(size: \"3\",";
        let text = leaning(over_24);
        assert!(text.contains(hub) && text.contains("rim: \"2' 4 below first rough\""));
        let text = text
            .replace(hub, "CutPipe(size: \"3\", material: iron, straight: \"12\",")
            .replace("rim: \"2' 4 below first rough\"", "top: \"2' 6 below first rough\"")
            .replacen(
                "Fit(name: \"T1\"",
                "Fit(name: \"C9\", fit: \"3 transition coupling\"),\n        Fit(name: \"T1\"",
                1,
            );
        let (stacks, _) = planned(&text);
        let sleeve = |asked: &Option<truefall_plan::lean::Asked>| {
            asked
                .as_ref()
                .is_some_and(|a| a.kind == truefall_model::catalog::joint::JointKind::TransitionCoupling)
        };
        let proposed = stacks[0].remedies.iter().any(|r| sleeve(&r.asked));
        let refused =
            stacks[0].refused.iter().any(|r| sleeve(&r.asked) && !r.asked.as_ref().unwrap().allowed());
        assert_eq!((proposed, refused), (taken, !taken), "{over_24}: {:?}", stacks[0].refused);
    }
}

// Left in, the heights are those of the exact plan as found: what drains through a wall lands within its tolerance in height.
#[test]
fn a_lean_left_in_has_its_heights_solved_as_found() {
    let (stacks, _) = planned(&leaning("0.1875"));
    let kept = stacks[0].remedies.iter().find(|r| r.kind == Kind::Heights);
    let why: Vec<&str> = stacks[0].refused.iter().map(|r| r.why.as_str()).collect();
    let kept = kept.unwrap_or_else(|| panic!("{why:?}"));
    assert_eq!(kept.trial.job.cut_on, Placement::Found);
    for landing in &kept.trial.rough_in.found.landings {
        let up = (landing.at.z - landing.wants.z).abs();
        assert!(up <= landing.tolerance.to_inches() + 1e-6, "{up}");
    }
}
