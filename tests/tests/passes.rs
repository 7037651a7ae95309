//! How far what passes is from failing, read where the limits are published.

use truefall_check::rules::ALL;
use truefall_check::{Finding, Verdict};
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_packet::{Asked, Look, Style, examine, examine_with, json, text};
use truefall_tests::Scene;
use truefall_tests::scene::{list, scenes};

fn examined(scene: &Scene) -> truefall_packet::Examined {
    let job = JobFile::read(&scene.name, &scene.text).unwrap_or_else(|faults| panic!("{faults}")).job;
    let asked = Asked { placements: Placement::ALL, passes: true, fixes: false };
    examine_with(&job, Catalog::builtin(), &asked).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[track_caller]
fn margin(scene: &str, rule: &str) -> f64 {
    let passes = examined(&Scene::load(&format!("rules/{scene}.ron"))).passes;
    let pass =
        passes.iter().find(|p| p.rule == rule).unwrap_or_else(|| panic!("no pass of {rule}: {passes:?}"));
    pass.margin.expect("it has a margin")
}

// P3005.3: 1/4 in per ft, laid at exactly that. P2603.2.1: 1-1/4 in, there exactly. Table P3105.1: 96 in, and the arm is
// 95.9998. Under the UPC (312.9) 1 in, there exactly.
#[test]
fn margins_are_what_is_left_of_the_published_limit() {
    assert_eq!(margin("drain-too-flat/ok_quarter_inch", "drain-too-flat"), 0.0);
    assert!(margin("shield-plate-missing/ok_one_and_a_quarter", "shield-plate-missing").abs() < 1e-9);
    assert!(margin("shield-plate-missing/ok_an_inch_upc", "shield-plate-missing").abs() < 1e-9);
    let arm = margin("trap-arm-too-long/ok_eight_feet", "trap-arm-too-long");
    assert!((0.0..0.001).contains(&arm), "{arm}");
}

// UPC 1002.2 (from memory): 6 ft from the flange to the vent. UPC 904.1: the vents have the drain's whole area; a 3 in drain has a
// 3 in stack, so exactly that. IRC P3102.3 (from memory) with P3113.1: half of a 3 in drain is 1-1/2 in, there exactly. A
// kitchen sink's rim at 36 in and a bowl of 8 (common practice) put the outlet at 28 in; the loop turns over 4.95 in higher.
#[test]
fn margins_of_vents_together_and_of_closets() {
    let closet = margin("closet-arm-too-long/ok_under_six_feet", "closet-arm-too-long");
    assert!((0.0..1.0).contains(&closet), "an inch more is too long: {closet}");
    assert!(margin("vents-too-small-together/ok_full_size", "vents-too-small-together").abs() < 1e-9);
    assert!(margin("main-vent-too-small/ok_half_of_three", "main-vent-too-small").abs() < 1e-9);
    let loop_over = margin("island-loop-too-low/ok_over_the_outlet", "island-loop-too-low");
    assert!((4.9..5.0).contains(&loop_over), "{loop_over}");
}

#[test]
fn no_pass_is_below_its_limit_and_none_is_a_finding_too() {
    let mut told = 0;
    for scene in list("rules", None).into_iter().flat_map(|rule| scenes(&format!("rules/{rule}"))) {
        let examined = examined(&scene);
        for pass in &examined.passes {
            told += 1;
            assert_eq!(pass.verdict, Verdict::Pass, "{}", scene.name);
            assert!(pass.margin.is_some_and(|m| m >= 0.0), "{}: {pass}", scene.name);
            let limit = pass.limit.expect("it has a limit");
            assert!(limit.allows(pass.measured.expect("it has a measure")), "{}: {pass}", scene.name);
            assert!(pass.help.is_none() && pass.cures.is_empty() && pass.accepted.is_none());
            let same = |f: &&Finding| (f.rule, &f.labels, f.at) == (pass.rule, &pass.labels, pass.at);
            let at_once = |f: &Finding| f.placement == pass.placement || f.in_both || pass.in_both;
            let both = examined.findings.iter().find(same).is_some_and(at_once);
            assert!(!both, "{}: {pass} is a finding too", scene.name);
        }
    }
    assert!(told > 100, "{told}");
}

// How far each passing check is from failing: every rule tells it on one of the scenes it lets pass, or says on its page that it
// tells none and why.
#[test]
fn every_rule_with_a_quantity_tells_what_passes() {
    let mut silent = Vec::new();
    for rule in ALL {
        let said = rule.doc.replace("\n ", " ").contains("so no pass is told.");
        let ok = scenes(&format!("rules/{}", rule.id)).into_iter().filter(Scene::is_ok);
        let told = ok.into_iter().any(|scene| examined(&scene).passes.iter().any(|p| p.rule == rule.id));
        if told == said {
            silent.push((rule.id, told));
        }
    }
    assert!(silent.is_empty(), "silent without a word, or told in spite of it: {silent:?}");
}

#[test]
fn passes_change_no_finding_and_are_told_only_where_asked_for() {
    let scene = Scene::load("bungalow.ron");
    let job = JobFile::read(&scene.name, &scene.text).unwrap_or_else(|faults| panic!("{faults}")).job;
    let without = examine(&job, Catalog::builtin(), Placement::ALL).expect("it can be placed");
    let with = examined(&scene);
    assert_eq!(with.findings, without.findings);
    assert!(without.passes.is_empty() && !with.passes.is_empty());
    let read =
        |report| -> serde_json::Value { serde_json::from_str(&json(report).expect("JSON")).expect("JSON") };
    assert!(read(&without.report).get("passes").is_none());
    let (told, with_json) = (with.passes.len(), read(&with.report));
    let passes = with_json["passes"].as_array().expect("a list");
    assert_eq!(passes.len(), told);
    // The same fields as a finding.
    let fields =
        |v: &serde_json::Value| v.as_object().expect("an object").keys().cloned().collect::<Vec<_>>();
    assert_eq!(fields(&passes[0]), fields(&with_json["findings"][0]));
}

#[test]
fn the_nearest_to_failing_stands_first() {
    let look = Look { style: Style::Plain, fineness: truefall_model::units::Fineness::Sixteenth };
    let printed = text(&examined(&Scene::load("bungalow.ron")).report, look);
    let (_, table) = printed.split_once("to spare  rule").expect("a table of passes");
    let shares: Vec<f64> = table
        .lines()
        .skip(1)
        .map_while(|line| line.split_whitespace().next()?.strip_suffix('%')?.parse().ok())
        .collect();
    assert!(shares.len() > 20 && shares.is_sorted(), "{shares:?}");
}
