//! Properties of whole jobs: where zero is and which way one faces changes no finding; a plumb survey makes both
//! placements one; what is printed is read again; what is done is undone.

mod splice;
mod strategies;

use proptest::prelude::*;
use std::collections::BTreeMap;
use strategies::{corpus, edited, named, nudged};
use truefall_check::Finding;
use truefall_model::catalog::Catalog;
use truefall_model::job::file::{JobFile, text};
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::place;
use truefall_packet::examine;
use truefall_tests::{Motion, plumbed};

const BOTH: [Placement; 2] = [Placement::Drawn, Placement::Found];

/// A finding without its place and words: those name points and ways on the plan.
#[derive(PartialEq)]
struct Told {
    rule: &'static str,
    verdict: String,
    placement: Placement,
    in_both: bool,
    labels: Vec<Label>,
    measured: Option<f64>,
    margin: Option<f64>,
    error: Option<f64>,
}

impl std::fmt::Debug for Told {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let labels: Vec<&str> = self.labels.iter().map(Label::as_str).collect();
        let both = if self.in_both { "both" } else { self.placement.word() };
        write!(
            f,
            "{} {} {both} {labels:?} {:?} by {:?} ± {:?}",
            self.verdict, self.rule, self.measured, self.margin, self.error
        )
    }
}

fn told(finding: &Finding, names: &BTreeMap<Label, Label>) -> Told {
    let labels = finding.labels.iter().map(|l| names.get(l).unwrap_or(l).clone()).collect();
    Told {
        rule: finding.rule,
        verdict: finding.verdict.to_string(),
        placement: finding.placement,
        in_both: finding.in_both,
        labels,
        measured: finding.measured,
        margin: finding.margin,
        error: finding.error,
    }
}

fn near(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-6,
        (a, b) => a == b,
    }
}

fn alike(a: &Told, b: &Told) -> bool {
    let (mut la, mut lb) = (a.labels.clone(), b.labels.clone());
    la.sort();
    lb.sort();
    let words = (a.rule, &a.verdict, a.placement, a.in_both) == (b.rule, &b.verdict, b.placement, b.in_both);
    words && la == lb && near(a.measured, b.measured) && near(a.margin, b.margin) && near(a.error, b.error)
}

/// What the findings of a job moved differ in from those of the job; nothing where they are the same.
fn differs(job: &Job, motion: Motion) -> Option<String> {
    let before = match examine(job, Catalog::builtin(), &BOTH) {
        Ok(before) => before,
        Err(faults) => return Some(format!("refused before it is moved: {faults:?}")),
    };
    let moved = motion.apply(job, &before.rough_in);
    let after = match examine(&moved.job, Catalog::builtin(), &BOTH) {
        Ok(after) => after,
        Err(faults) => return Some(format!("refused: {faults:?}")),
    };
    let none = BTreeMap::new();
    let mut gone: Vec<Told> = before.findings.iter().map(|f| told(f, &moved.names)).collect();
    let mut new = Vec::new();
    for finding in after.findings.iter().map(|f| told(f, &none)) {
        match gone.iter().position(|g| alike(g, &finding)) {
            Some(at) => drop(gone.remove(at)),
            None => new.push(finding),
        }
    }
    (!gone.is_empty() || !new.is_empty()).then(|| format!("gone {gone:#?}\nnew {new:#?}"))
}

fn sixteenths() -> impl Strategy<Value = truefall_model::units::Length> {
    (-40_000..40_000i32).prop_map(|n| truefall_model::units::Length::inches(f64::from(n) / 16.0))
}

#[test]
fn turning_a_job_by_quarters_changes_no_finding() {
    let mut off = Vec::new();
    for scene in corpus() {
        for quarters in 1..4 {
            if let Some(what) = differs(&scene.job, Motion::turns(quarters)) {
                off.push(format!("{} by {quarters}: {what}", scene.name));
            }
        }
    }
    assert!(off.is_empty(), "{} differ:\n{}", off.len(), off.join("\n"));
}

#[test]
fn every_scene_has_something_to_find_or_not() {
    let all = corpus();
    assert!(all.len() > 50, "{} scenes", all.len());
    assert!(all.iter().any(|s| s.job.house.floors.iter().any(|f| f.joists.is_some())));
    assert!(all.iter().any(|s| s.job.branches.iter().any(|b| b.along.iter().any(|f| f.clock.is_some()))));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn moving_a_job_changes_no_finding(scene in named(), dx in sixteenths(), dy in sixteenths()) {
        prop_assert_eq!(differs(&scene.job, Motion::by(dx, dy)), None, "{}", scene.name);
    }

    #[test]
    fn turning_and_moving_together_changes_no_finding(scene in named(), quarters in 1u8..4, dx in sixteenths(), dy in sixteenths()) {
        prop_assert_eq!(differs(&scene.job, Motion { quarters, dx, dy }), None, "{}", scene.name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Scenes lie on round figures; nudged off them, pipes meet wood and each other anywhere.
    #[test]
    fn a_nudged_job_moved_and_turned_finds_the_same((name, job) in nudged(), quarters in 0u8..4, dx in sixteenths(), dy in sixteenths()) {
        if place(&job, Catalog::builtin()).is_ok() {
            prop_assert_eq!(differs(&job, Motion { quarters, dx, dy }), None, "{}", name);
        }
    }
}

/// The comparison sees what it should: the pipes alone moved by half an inch are another job.
#[test]
fn pipes_moved_in_a_house_left_where_it_is_find_something_else() {
    let scene = corpus().iter().find(|s| s.name.contains("bungalow")).unwrap();
    let half = Motion::by(truefall_model::units::Length::inches(0.5), truefall_model::units::Length::ZERO);
    let before = examine(&scene.job, Catalog::builtin(), &BOTH).unwrap();
    let mut moved = half.apply(&scene.job, &before.rough_in).job;
    moved.house = scene.job.house.clone();
    let after = examine(&moved, Catalog::builtin(), &BOTH).unwrap();
    let none = BTreeMap::new();
    let told = |f: &[Finding]| f.iter().map(|f| told(f, &none)).collect::<Vec<_>>();
    assert_ne!(told(&before.findings), told(&after.findings));
}

/// Where two placements of a job differ most, inches.
fn apart(job: &Job) -> Option<f64> {
    let rough_in = place(job, Catalog::builtin()).ok()?;
    let poses = rough_in.drawn.world_from_part.iter().zip(&rough_in.found.world_from_part);
    let points = [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [0.0, 100.0, 0.0], [0.0, 0.0, 100.0]];
    let off = poses.flat_map(|(d, f)| {
        points.map(|p| (d * nalgebra::Point3::from(p) - f * nalgebra::Point3::from(p)).norm())
    });
    Some(off.fold(0.0, f64::max))
}

#[test]
fn a_plumb_survey_makes_both_placements_one() {
    let mut leaning = 0;
    for scene in corpus() {
        let plumb = apart(&plumbed(&scene.job)).unwrap_or_else(|| panic!("{} is refused", scene.name));
        assert!(plumb < 1e-9, "{}: {plumb:e} in apart", scene.name);
        leaning += usize::from(apart(&scene.job).is_some_and(|a| a > 1e-3));
    }
    assert!(leaning >= 3, "only {leaning} scenes lean as they are");
}

#[test]
fn every_scene_printed_and_read_again_is_the_same() {
    for scene in corpus() {
        let printed = text(&scene.job);
        let again = JobFile::read(&scene.name, &printed).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(again.job, scene.job, "{}", scene.name);
        assert_eq!(text(&again.job), printed, "{}", scene.name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_edited_job_printed_and_read_again_is_the_same((job, edits) in edited()) {
        let mut job = job;
        for edit in &edits {
            // Edits that do not fit are tried too; they leave the job alone.
            let _ = edit.apply(&mut job);
        }
        let printed = text(&job);
        let again = JobFile::read("edited", &printed);
        prop_assert!(again.is_ok(), "{}\n{}", again.err().map(|e| e.to_string()).unwrap_or_default(), printed);
        prop_assert_eq!(again.unwrap().job, job);
    }

    #[test]
    fn an_edit_and_its_inverse_leave_the_job_as_it_was((job, edits) in edited()) {
        let mut now = job.clone();
        let mut undo = Vec::new();
        let mut states = Vec::new();
        for edit in &edits {
            let before = now.clone();
            match edit.apply(&mut now) {
                Ok(inverse) => {
                    states.push(before);
                    undo.push(inverse);
                }
                Err(_) => prop_assert_eq!(&now, &before, "an edit that does not fit changed the job"),
            }
        }
        while let (Some(inverse), Some(before)) = (undo.pop(), states.pop()) {
            let after = now.clone();
            let redo = inverse.apply(&mut now);
            prop_assert!(redo.is_ok(), "{:?}", redo);
            prop_assert_eq!(&now, &before);
            let mut again = now.clone();
            prop_assert!(redo.unwrap().apply(&mut again).is_ok());
            prop_assert_eq!(&again, &after, "the inverse's inverse does it again");
        }
        prop_assert_eq!(now, job);
    }

    #[test]
    fn all_or_none((job, edits) in edited()) {
        let mut now = job.clone();
        match truefall_model::job::Edit::All(edits).apply(&mut now) {
            Ok(undo) => prop_assert!(undo.apply(&mut now).is_ok()),
            Err(_) => prop_assert_eq!(&now, &job, "some were done and some were not"),
        }
        prop_assert_eq!(now, job);
    }
}
