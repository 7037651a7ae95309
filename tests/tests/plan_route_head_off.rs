//! A joist in a route's way headed off by a carpenter: told with its numbers, and nothing red is left by it.
//!
//! That a cut joist is carried by headers to its neighbours is common practice; the share of wood that makes it needful is IRC
//! R502.8.1 (a hole in a joist at least 2 in from its edges).

use std::collections::BTreeSet;
use truefall_check::{Finding, Profile, Verdict, check};
use truefall_model::catalog::Catalog;
use truefall_model::framing::member::MemberKind;
use truefall_model::job::edit::Edit;
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::place;
use truefall_plan::Bench;
use truefall_plan::route::{Asked, routes};
use truefall_tests::scene::folder;

fn red(findings: &[Finding]) -> BTreeSet<String> {
    findings
        .iter()
        .filter(|f| f.verdict == Verdict::RedTag)
        .map(|f| format!("{} {:?}", f.rule, f.labels))
        .collect()
}

#[test]
fn the_shower_under_the_attic_goes_through_a_headed_off_joist() {
    let text = std::fs::read_to_string(folder().join("bungalow.ron")).expect("the demo can be read");
    let job: Job = JobFile::read("bungalow.ron", &text).expect("the demo reads").job;
    let catalog = Catalog::builtin();
    let profile = Profile::builtin(job.code.as_str()).expect("a built-in code");
    let bench = Bench { job: &job, catalog, profile: &profile, placements: Placement::ALL };
    let fixture = Label::new("attic shower");
    let asked = Asked { fixture: &fixture, to: None, k: 1, why_not: false, prices: None };
    let answer = routes(&bench, &asked).expect("it can be asked for");
    assert!(answer.routes.is_empty(), "whole, the joists let nothing through");
    let takes = answer
        .misses
        .iter()
        .flat_map(|m| &m.takes)
        .find(|t| t.words.contains("head off"))
        .unwrap_or_else(|| panic!("{:?}", answer.misses));
    assert!(
        takes.words.contains("attic joist 8") && takes.words.contains("attic joist 7"),
        "{}",
        takes.words
    );

    let before = place(&job, catalog).expect("the demo places");
    let mut changed = job.clone();
    for edit in &takes.edits {
        edit.apply(&mut changed).expect("it can be applied");
    }
    assert!(takes.edits.iter().any(|e| matches!(e, Edit::House(_))), "the framing changes");
    let after = place(&changed, catalog).expect("what is told places");
    let told = |job: &Job, rough_in| red(&check(job, rough_in, catalog, &profile, Placement::ALL));
    let (was, is) = (told(&job, &before), told(&changed, &after));
    let new: Vec<_> = is.difference(&was).filter(|f| !f.contains("trap-not-vented")).collect();
    assert!(new.is_empty(), "newly red: {new:?}");
    // One joist less in one piece, two headers more, each between the faces of its neighbours.
    let kinds =
        |f: &truefall_model::place::RoughIn, kind| f.framed.members.iter().filter(|m| m.kind == kind).count();
    assert_eq!(kinds(&after, MemberKind::Header), kinds(&before, MemberKind::Header) + 2);
}
