//! Every rule has its scenes, every folder of scenes has its rule, and a bad scene is an ok one with one thing changed.

use truefall_check::rules::ALL;
use truefall_tests::scene::{Scene, list, scenes};

fn of(rule: &str) -> Vec<Scene> {
    scenes(&format!("rules/{rule}"))
}

#[test]
fn every_folder_of_scenes_is_a_rule_and_every_rule_has_one() {
    let rules: Vec<&str> = ALL.iter().map(|r| r.id).collect();
    assert_eq!(list("rules", None), rules);
}

#[test]
fn every_rule_has_a_bad_scene_and_an_ok_one_that_is_no_bad_one_turned() {
    for rule in ALL {
        let all = of(rule.id);
        let (ok, bad) = (all.iter().filter(|s| s.is_ok()).count(), all.iter().filter(|s| s.is_bad()).count());
        assert_eq!(ok + bad, all.len(), "{}: a scene is called ok_… or bad_…", rule.id);
        assert!(ok >= 1 && bad >= 1, "{}: {ok} ok and {bad} bad scenes", rule.id);
    }
}

#[test]
fn a_bad_scene_expects_its_rule_and_an_ok_one_does_not() {
    for rule in ALL {
        for scene in of(rule.id) {
            let expects = scene.expected.iter().any(|e| e.rule() == rule.id);
            assert_eq!(expects, scene.is_bad(), "{}", scene.name);
        }
    }
}

// What a careless version of a rule would flag: at the limit, beside it, or of a kind the limit is not for.
#[test]
fn every_rule_has_a_scene_it_must_be_silent_about() {
    let all: Vec<Scene> = list("rules", None).iter().flat_map(|r| scenes(&format!("rules/{r}"))).collect();
    for scene in &all {
        for silent in &scene.silent {
            let known = ALL.iter().any(|r| r.id == silent.rule);
            assert!(known, "{}: `{}` is no rule", scene.name, silent.rule);
            assert!(silent.why.len() > 8, "{}: say why {} is silent", scene.name, silent.rule);
            let told = scene.expected.iter().any(|e| e.rule() == silent.rule);
            assert!(!told, "{}: {} is told and has to be silent", scene.name, silent.rule);
        }
    }
    let without: Vec<&str> = ALL
        .iter()
        .map(|r| r.id)
        .filter(|id| !all.iter().any(|s| s.silent.iter().any(|silent| silent.rule == *id)))
        .collect();
    assert!(without.is_empty(), "no scene says `//~ rule: why it is silent` of {without:?}");
}

#[test]
fn a_bad_scene_is_an_ok_one_with_one_line_changed() {
    for rule in ALL {
        let all = of(rule.id);
        for bad in all.iter().filter(|s| s.is_bad()) {
            let fewest =
                all.iter().filter(|s| s.is_ok()).map(|ok| lines_changed(&ok.built(), &bad.built())).min();
            assert_eq!(fewest, Some(1), "{}: lines that differ from the nearest ok scene", bad.name);
        }
    }
}

/// How many lines lie between what is the same at the start and at the end of two texts.
fn lines_changed(one: &[&str], other: &[&str]) -> usize {
    let same_start = one.iter().zip(other).take_while(|(a, b)| a == b).count();
    let (one, other) = (&one[same_start..], &other[same_start..]);
    let same_end = one.iter().rev().zip(other.iter().rev()).take_while(|(a, b)| a == b).count();
    one.len().max(other.len()) - same_end
}
