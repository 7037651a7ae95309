//! Open ports, dead ends, loops and pipes of two roles, on scenes with a text or two changed.
//!
//! What is a dead end is the definition the model codes share: a branch closed 2 ft or more off (from memory). That a vent
//! tied back is no loop, and that a drain has one way down, is common practice.

use truefall_check::{Finding, Verdict};
use truefall_tests::scene::Scene;

/// What a rule finds in a scene with texts replaced; each must be there.
#[track_caller]
fn told(scene: &str, changes: &[(&str, &str)], rule: &str) -> Vec<Finding> {
    let mut scene = Scene::load(&format!("rules/{scene}.ron"));
    for (from, to) in changes {
        assert!(scene.text.contains(from), "{} has no {from}", scene.name);
        scene.text = scene.text.replace(from, to);
    }
    let findings = scene.findings().unwrap_or_else(|faults| panic!("{faults}"));
    findings.into_iter().filter(|f| f.rule == rule).collect()
}

const TOP: &str = r#"Fit(name: "V1", fit: "2 coupling", height: "5' 0 off first rough"),"#;
const TEE_ON_TOP: &str = r#"Fit(name: "T3", fit: "2x2x1-1/2 sanitary tee", height: "5' 6 off first rough"),"#;
const VENT: &str = r#"system: vent,"#;

/// A lavatory that drains through the tee the vent is tied to.
fn lavatory_above() -> [(&'static str, &'static str); 4] {
    [
        (TOP, TEE_ON_TOP),
        (", Access(to: \"V1\")", ""),
        (
            "  fixtures: [\n",
            "  fixtures: [\n    Fixture(name: \"lav\", kind: lavatory, floor: \"first\", wall: \"wet\", at: OffWall(wall: \"wet\", along: \"4' 0\", out: \"0\")),\n",
        ),
        (
            "  branches: [\n",
            "  branches: [\n    Branch(name: \"lav arm\", from: \"T3.branch\", along: [Fit(name: \"B9\", fit: \"1-1/2 1/4 bend\", to: OffWall(wall: \"wet\", along: \"4' 0\", out: \"-2 3/4\", face: rough))], end: Fixture(name: \"lav\")),\n",
        ),
    ]
}

#[test]
fn waste_that_can_go_two_ways_is_a_loop() {
    let mut changes = lavatory_above().to_vec();
    changes.push((VENT, ""));
    let loops = told("drain-loop/ok_vent_tied_back", &changes, "drain-loop");
    assert_eq!(loops.len(), 1);
    assert_eq!(loops[0].verdict, Verdict::RedTag);
    assert_eq!(loops[0].what, "vent is tied into T2: lav can go two ways down");
}

#[test]
fn a_vent_tied_back_is_no_loop_whether_said_to_be_one_or_not() {
    assert!(told("drain-loop/ok_vent_tied_back", &[], "drain-loop").is_empty());
    assert!(told("drain-loop/ok_vent_tied_back", &[(VENT, "")], "drain-loop").is_empty());
    // Said to be a vent, how high it ties in is for the rules of venting.
    assert!(told("drain-loop/ok_vent_tied_back", &lavatory_above(), "drain-loop").is_empty());
}

#[test]
fn a_closed_end_two_feet_off_is_a_dead_end() {
    let capped = |cut: &str| {
        let cut = format!("cut: \"{cut}\"");
        told("drain-goes-nowhere/bad_three_feet", &[("cut: \"34\"", &cut)], "drain-goes-nowhere")
    };
    let far = capped("34");
    // By hand: the tee's branch 2 to its stop, 34 of pipe, half the coupling's 3/16 between its stops.
    let measured = far[0].measured.expect("a length");
    assert!((measured - (34.0 + 2.0 + 0.09375)).abs() < 1e-9, "{measured}");
    assert_eq!(capped(&format!("{}", 24.0 - 2.0 - 0.09375)).len(), 1, "just 2 ft");
    assert!(capped("21.8").is_empty(), "a hair less");
}

#[test]
fn a_closed_end_said_to_vent_or_left_open_is_no_dead_end() {
    let with =
        |from: &str, to: &str| told("drain-goes-nowhere/bad_three_feet", &[(from, to)], "drain-goes-nowhere");
    assert!(with("end: Capped()", "end: Open()").is_empty());
    assert!(with("      name: \"spare\",", "      name: \"spare\",\n      system: vent,").is_empty());
}

#[test]
fn every_way_of_closing_a_port_closes_it() {
    let bad = "port-left-open/bad_not_plugged";
    let tee = r#"fit: "2x2x1-1/2 sanitary tee", height: "3' 0 off first rough""#;
    let open = |changes: &[(&str, &str)]| told(bad, changes, "port-left-open");
    assert_eq!(open(&[]).len(), 1);
    assert!(open(&[(tee, &format!("{tee}, plugs: [\"branch\"]"))]).is_empty());
    let branch = |end: &str, along: &str| {
        format!(
            "  branches: [\n    Branch(name: \"spare\", from: \"T2.branch\", along: [{along}], end: {end}),\n"
        )
    };
    for (end, along) in
        [("Capped()", ""), ("Open()", ""), ("Open()", r#"Fit(name: "K", fit: "1-1/2 coupling", cut: "9")"#)]
    {
        let branch = branch(end, along);
        let left = open(&[("  branches: [\n", &branch)]);
        // A branch with nothing on it closes or leaves open, as it says, the port it leaves.
        assert!(left.is_empty(), "{end} {along}: {left:#?}");
    }
    let cap = r#"Fit(name: "K", fit: "1-1/2 cap", cut: "9")"#;
    assert!(open(&[("  branches: [\n", &branch("Open()", cap))]).is_empty());
    // A tee on the spare branch has a port that nobody spoke of.
    let tee = r#"Fit(name: "K", fit: "1-1/2 sanitary tee", cut: "9")"#;
    assert_eq!(open(&[("  branches: [\n", &branch("Capped()", tee))]).len(), 1);
}

#[test]
fn an_open_port_is_mended_by_a_plug() {
    let found = told("port-left-open/bad_not_plugged", &[], "port-left-open");
    assert_eq!(found[0].cures.iter().map(|c| c.words.as_str()).collect::<Vec<_>>(), ["plug T2.branch"]);
}
