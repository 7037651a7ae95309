//! What is said to mend a finding mends it, and what is said to break breaks: held by applying the edits once more, here.
//!
//! Outside the project: the sums on a stud (how far a stub is off is how far its tee moves: common practice), R602.6's
//! 60 percent of 3-1/2 in (2.1) against bits of 2-1/8 and 2 in, P2603.2.1's plates and R602.6.1's ties.

use std::collections::{BTreeMap, BTreeSet};
use truefall_check::{Finding, Verdict};
use truefall_model::catalog::Catalog;
use truefall_model::framing::provided::{MemberFace, Provided};
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::file::JobFile;
use truefall_model::job::survey::Correction;
use truefall_model::job::{Job, Placement};
use truefall_model::units::Length;
use truefall_packet::{Asked, examine, examine_with};
use truefall_tests::Scene;
use truefall_tests::scene::{list, scenes};

fn job(scene: &Scene) -> Job {
    JobFile::read(&scene.name, &scene.text).unwrap_or_else(|faults| panic!("{faults}")).job
}

fn with_fixes(job: &Job) -> Vec<Finding> {
    let asked = Asked { placements: Placement::ALL, passes: false, fixes: true };
    examine_with(job, Catalog::builtin(), &asked).unwrap_or_else(|faults| panic!("{faults:?}")).findings
}

/// How often each fault is told, by placement.
fn faults(findings: &[Finding]) -> BTreeMap<(&str, Vec<&str>, Placement), usize> {
    let mut faults = BTreeMap::new();
    for f in findings {
        for placement in [Placement::Drawn, Placement::Found] {
            if f.in_both || f.placement == placement {
                *faults
                    .entry((f.rule, f.labels.iter().map(|l| l.as_str()).collect(), placement))
                    .or_insert(0) += 1;
            }
        }
    }
    faults
}

fn houses() -> Vec<Scene> {
    let bad = list("rules", None)
        .into_iter()
        .flat_map(|rule| scenes(&format!("rules/{rule}")))
        .filter(Scene::is_bad);
    bad.chain(["one_bath.ron", "bungalow.ron"].map(Scene::load)).collect()
}

#[test]
fn what_is_said_to_mend_mends_and_nothing_breaks_unsaid() {
    let mut mended: BTreeSet<&str> = BTreeSet::new();
    for scene in houses() {
        let job = job(&scene);
        let before = with_fixes(&job);
        for finding in &before {
            let Some(fix) = &finding.fix else { continue };
            let mut changed = job.clone();
            for edit in &fix.edits {
                edit.apply(&mut changed).expect("the edit fits the job");
            }
            let after =
                examine(&changed, Catalog::builtin(), Placement::ALL).expect("it can be placed").findings;
            let (was, is) = (faults(&before), faults(&after));
            for (fault, times) in faults(std::slice::from_ref(finding)) {
                assert!(
                    is.get(&fault).is_none_or(|n| *n <= was[&fault] - times),
                    "{}: {finding}",
                    scene.name
                );
            }
            for f in after.iter().filter(|f| f.verdict == Verdict::RedTag) {
                let new = faults(std::slice::from_ref(f))
                    .into_keys()
                    .any(|key| is[&key] > was.get(&key).copied().unwrap_or(0));
                assert!(
                    !new || fix.breaks.contains(&f.to_string()),
                    "{}: {f} is not told with {}",
                    scene.name,
                    fix.words
                );
            }
            mended.insert(finding.rule);
        }
    }
    for rule in [
        "drain-too-flat",
        "misfit-at-fixture",
        "shield-plate-missing",
        "stud-bore-too-large",
        "top-plate-cut",
    ] {
        assert!(mended.contains(rule), "nothing mends {rule} in any scene: {mended:?}");
    }
}

#[track_caller]
fn edits(scene: &str, rule: &str) -> Vec<Edit> {
    let scene = Scene::load(&format!("rules/{scene}.ron"));
    let findings = with_fixes(&job(&scene));
    let found = findings.iter().find(|f| f.rule == rule).unwrap_or_else(|| panic!("{rule} is not found"));
    let fix = found.fix.as_ref().unwrap_or_else(|| panic!("no fix for {found}"));
    fix.edits.clone()
}

#[track_caller]
fn provided(scene: &str, rule: &str) -> Provided {
    match edits(scene, rule).as_slice() {
        [Edit::Provided(Change::Insert { item, .. })] => (**item).clone(),
        other => panic!("{other:?}"),
    }
}

// P2603.2.1: the middle of a 2x4 leaves less than 1-1/4 in on both sides, so both are shielded.
#[test]
fn a_bare_hole_is_plated_on_both_faces() {
    let Provided::Plate { face, member, .. } =
        provided("shield-plate-missing/bad_bare", "shield-plate-missing")
    else {
        panic!("a plate")
    };
    assert_eq!((face, member.as_str()), (MemberFace::Both, "wet stud 1"));
}

#[test]
fn a_fix_is_tried_only_where_it_is_asked_for() {
    let job = job(&Scene::load("rules/shield-plate-missing/bad_bare.ron"));
    let findings = examine(&job, Catalog::builtin(), Placement::ALL).expect("it can be placed").findings;
    assert!(!findings.is_empty() && findings.iter().all(|f| f.fix.is_none()));
}

// 60 percent of 3-1/2 is 2.1: the usual 2-1/8 in bit is over, a 2 in bit passes 1.900 in pipe and is not (R602.6).
#[test]
fn a_two_inch_bit_goes_where_two_and_an_eighth_does_not() {
    let bungalow = Scene::load("bungalow.ron");
    let findings = with_fixes(&job(&bungalow));
    let mut bits = findings.iter().filter(|f| f.rule == "stud-bore-too-large").filter_map(|f| f.fix.as_ref());
    let Some(Edit::Provided(Change::Insert { item, .. })) = bits.next().and_then(|fix| fix.edits.first())
    else {
        panic!("a hole")
    };
    assert!(matches!(**item, Provided::Hole { size, .. } if size == Length::inches(2.0)), "{item:?}");
}

// R502.8.1: a third of 6-1/4 is 2.083, which a 2-1/8 in hole is over and a 2 in one is not; both edges keep 2-1/8 in.
#[test]
fn a_joist_is_bored_smaller_where_a_smaller_bit_still_passes_the_pipe() {
    let scene = Scene::load("rules/joist-bore-too-large/bad_usual_bit.ron");
    let text = [
        ("7 1/2", "6 1/4"),
        ("4 1/2 below", "3 7/8 below"),
        ("size: \"2\"", "size: \"1-1/2\""),
        ("\"2 coupling\"", "\"1-1/2 coupling\""),
        ("\"2 cap\"", "\"1-1/2 cap\""),
        ("2 9/16", "2 1/8"),
    ]
    .iter()
    .fold(scene.text, |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    let job = JobFile::read("joist.ron", &text).unwrap_or_else(|faults| panic!("{faults}")).job;
    let findings = with_fixes(&job);
    let found =
        findings.iter().find(|f| f.rule == "joist-bore-too-large").expect("2-1/8 is over a third of 6-1/4");
    let fix = found.fix.as_ref().expect("a 2 in bit mends it");
    let [Edit::Provided(Change::Insert { item, .. })] = fix.edits.as_slice() else { panic!("{fix:?}") };
    assert!(matches!(**item, Provided::Hole { size, .. } if size == Length::inches(2.0)), "{item:?}");
    assert!(fix.breaks.is_empty(), "{:?}", fix.breaks);
}

// A stub 5/8 in low has its tee raised by 5/8 in: one drain, one stack, the same fall between them (common practice).
#[test]
fn a_stub_too_low_has_its_tee_raised_by_as_much() {
    let job = job(&Scene::load("bungalow.ron"));
    let findings = with_fixes(&job);
    let raised = findings.iter().filter(|f| f.rule == "misfit-at-fixture").find_map(|f| {
        let [Edit::Fit { run, change: Change::Replace { at, item } }] = f.fix.as_ref()?.edits.as_slice()
        else {
            return None;
        };
        let stack = job.stacks.iter().find(|s| s.name == *run)?;
        Some((item.height.as_ref()?.off - stack.up[*at].height.as_ref()?.off, f.measured?))
    });
    let (by, off) = raised.expect("a tee is moved");
    assert!((by.to_inches().abs() - off).abs() < 0.07, "moved {by}, was {off} in off");
}

// A stack that leans the way its arm goes takes the lean off the arm; set plumb at the gasket the arm is as drawn.
#[test]
fn a_lean_is_taken_out_at_the_base_where_the_joint_takes_it() {
    let findings = with_fixes(&job(&Scene::load("bungalow.ron")));
    let flat = findings.iter().filter(|f| f.rule == "drain-too-flat" && f.placement == Placement::Found);
    let fixes: Vec<&Edit> = flat.filter_map(|f| f.fix.as_ref()).flat_map(|fix| &fix.edits).collect();
    assert!(!fixes.is_empty());
    for edit in fixes {
        let Edit::Correction { change: Change::Insert { item, .. }, .. } = edit else { panic!("{edit:?}") };
        assert!(matches!(**item, Correction::Plumb { .. }), "{item:?}");
    }
}

/// The fix of a rule in a bad scene: the fitting that is put in the place of another, and what is said.
#[track_caller]
fn swapped(scene: &str, rule: &str) -> (String, Vec<String>) {
    let scene = Scene::load(&format!("rules/{scene}.ron"));
    let findings = with_fixes(&job(&scene));
    let found = findings.iter().find(|f| f.rule == rule).unwrap_or_else(|| panic!("{rule} is not found"));
    let fix = found.fix.as_ref().unwrap_or_else(|| panic!("no fix for {found}"));
    let [Edit::Fit { change: Change::Replace { item, .. }, .. }] = fix.edits.as_slice() else {
        panic!("{fix:?}")
    };
    (item.fit.to_string(), fix.breaks.clone())
}

// IRC Table P3005.1: no sanitary tee on its back, no short 1/4 bend round a level corner in a drain of two fixtures; a
// combination and a long sweep may. A combination at a vent lets the arm fall below its weir, a sanitary tee does not
// (common practice).
#[test]
fn a_pattern_is_swapped_for_one_that_the_table_allows() {
    for (scene, rule, pattern) in [
        ("tee-not-upright/bad_tee_on_its_back", "tee-not-upright", "2x2x1-1/2 combination"),
        ("wrong-fitting-for-turn/bad_short_level_corner", "wrong-fitting-for-turn", "2 long-turn 1/4 bend"),
        ("vent-drops-below-weir/bad_combination", "vent-drops-below-weir", "2x2x1-1/2 sanitary tee"),
        ("vent-fitting-in-drain/bad_vent_tee", "vent-fitting-in-drain", "2x2x1-1/2 combination"),
    ] {
        let (put, breaks) = swapped(scene, rule);
        assert_eq!((put.as_str(), breaks.len()), (pattern, 0), "{scene}: {breaks:?}");
    }
}

// IRC R602.6: 60 percent of a doubled bearing stud may be bored, 40 of a single one.
#[test]
fn a_bearing_stud_bored_over_forty_percent_is_doubled() {
    for scene in ["bad_single", "bad_nobody_said", "bad_outside_wall"] {
        let item = provided(&format!("stud-bore-too-large/{scene}"), "stud-bore-too-large");
        let Provided::DoubledStud { wall, .. } = item else { panic!("{scene}: {item:?}") };
        assert_eq!(wall.as_str(), "wet", "{scene}");
    }
}

// IRC Table P3005.4.1: a 1-1/2 in branch carries 3 units, a 2 in one 6. The tee it leaves grows with it.
#[test]
fn an_overloaded_branch_is_run_one_size_larger_with_its_tee() {
    let edits = edits("drain-overloaded-branch/bad_four_units", "drain-overloaded-branch");
    let names: Vec<String> = edits
        .iter()
        .map(|edit| match edit {
            Edit::Fit { change: Change::Replace { item, .. } | Change::Insert { item, .. }, .. } => {
                item.fit.to_string()
            }
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(names[0], "2x2x2 sanitary tee");
    assert!(names.len() > 1 && names[1..].iter().all(|name| name.starts_with('2')), "{names:?}");
}

// R502.8.1 wants 2 in to the bottom. The pipe is 1-3/4 in under the middle of 9-1/4 in of wood, so its tee goes up by that:
// -7-3/8 in at the tee, 7-7/8 in out at the joist's near face it is 1/4 in per ft x 8-3/4 in = 0.18 in higher.
#[test]
fn a_hole_too_low_is_moved_to_the_middle_by_its_tee() {
    let edits = edits("joist-bore-too-near-edge/bad_tee_too_low", "joist-bore-too-near-edge");
    let [Edit::Fit { change: Change::Replace { item, .. }, .. }] = edits.as_slice() else {
        panic!("{edits:?}")
    };
    let off = item.height.as_ref().expect("a height").off.to_inches();
    assert!((off - (-7.375 + 2.0 - 0.18)).abs() < 0.07, "{off}");
    assert!((off * 16.0).fract().abs() < 1e-9, "a sixteenth: {off}");
}
