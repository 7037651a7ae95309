//! Circuit vents at their limits: how many traps, how steep, where it may not shrink, when it wants a relief vent.
//!
//! Limits from IPC 914 and IRC P3110: two to eight traps (an exam course quotes eight), the vent between the two most upstream
//! drains, the branch no steeper than 1 in 12 and of one size, a relief vent from four closets on under a stack that takes
//! waste from above (a city's printing of 914.4). Slope, size and the UPC's sections 911 are from memory: confirm in your
//! code book.

use truefall_check::Profile;
use truefall_check::vent::{Method, Setting, Vents};
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::place::place;
use truefall_tests::networks::ALL_CODES;
use truefall_tests::scene::Scene;

/// The method of a trap, or what was looked at in vain.
#[track_caller]
fn vented(text: &str, code: &str, trap: &str) -> Result<Method, String> {
    let job = JobFile::read("circuit.ron", text).unwrap_or_else(|faults| panic!("{faults}\n{text}")).job;
    let catalog = Catalog::builtin();
    let rough_in = place(&job, catalog).unwrap_or_else(|faults| panic!("{faults:?}"));
    let profile = Profile::builtin(code).expect("it comes with the tool");
    let setting =
        Setting { job: &job, rough_in: &rough_in, catalog, profile: &profile, placed: &rough_in.drawn };
    let vents = Vents::of(&setting);
    let named = |t: &&truefall_check::vent::Trap| job.fixtures[t.fixture].name.as_str() == trap;
    let found = vents.traps.iter().find(named).unwrap_or_else(|| panic!("no trap of {trap}"));
    let why: Vec<String> = found.tried.iter().map(ToString::to_string).collect();
    found.vent.as_ref().map(|v| v.method).ok_or(why.join("; "))
}

/// Floor drains on one lying branch, `d1` the nearest to the stack; the vent between the two farthest. `size` is that of the
/// branch at its foot, `after_first` what stands above the first drain's wye.
fn branch(drains: usize, foot: &str, after_first: &str) -> String {
    let at = |i: usize| 18 + 22 * i;
    let fixtures: String = (0..drains - 1)
        .map(|i| format!("Fixture(name: \"d{}\", kind: floor_drain, floor: \"first\", at: (\"{}\", \"12\"), tolerance: \"20\"),\n", i + 1, at(i) + 15))
        .collect();
    let wyes: String = (0..drains - 1)
        .map(|i| {
            let size = if i == 0 { foot } else { "2x2x2" };
            let after = if i == 0 { after_first } else { "" };
            format!("Fit(name: \"Y{}\", fit: \"{size} wye\", to: (\"{}\", \"-2 3/4\"), clock: \"3:00\"),{after}\n", i + 1, at(i))
        })
        .collect();
    let arms: String = (1..drains)
        .map(|i| format!("Branch(name: \"arm {i}\", from: \"Y{i}.branch\", along: [Fit(name: \"P{i}\", fit: \"2 p-trap\", level: \"10\", swing: \"3\")], end: Fixture(name: \"d{i}\")),\n"))
        .collect();
    let iron = &foot[..1];
    let vent = at(drains - 1);
    format!(
        r#"Job(
  name: "circuit", code: "irc-2021",
  house: House(
    floors: [Floor(name: "first", datum: true)],
    roof: [RoofPlane(name: "roof", eave: (("-5' 0", "-10' 0"), ("50' 0", "-10' 0")), height: "10' 0 off first rough", pitch: "2 in per ft", run: "40' 0")],
  ),
  fixtures: [{fixtures}
    Fixture(name: "last", kind: floor_drain, floor: "first", at: ("{}", "0"), tolerance: "20"),
  ],
  stacks: [Stack(name: "S1", base: IronHub(size: "{iron}", at: ("0", "-2 3/4"), rim: "4' 0 below first rough"), up: [
    Fit(name: "T1", fit: "{iron} sanitary tee", height: "20 below first rough")], end: Capped)],
  branches: [
    Branch(name: "drain", from: "T1", along: [{wyes}
      Fit(name: "YV", fit: "2x2x2 wye", to: ("{vent}", "-2 3/4"), clock: "12"),
      Fit(name: "PL", fit: "2 p-trap", level: "14", swing: "3"),
    ], end: Fixture(name: "last")),
    Branch(name: "vent", from: "YV.branch", along: [Fit(name: "B1", fit: "2 1/8 bend", level: "6", clock: "12")], end: Roof),
    {arms}
  ],
)"#,
        vent + 18
    )
}

#[test]
fn eight_traps_are_vented_and_nine_are_not() {
    for code in ALL_CODES {
        assert_eq!(vented(&branch(8, "2x2x2", ""), code, "d1"), Ok(Method::Circuit), "{code}");
        let why = vented(&branch(9, "2x2x2", ""), code, "d1").expect_err("nine are too many");
        assert!(why.contains("circuit vent: 9 traps are on the branch, 8 may"), "{code}: {why}");
    }
}

// 1 in 12 is 1 in per ft; two 1/16 bends make an offset of tan 22.5 degrees, near 5 in per ft.
#[test]
fn a_branch_steeper_than_one_in_twelve_is_none() {
    let offset = "Fit(name: \"O1\", fit: \"2 1/16 bend\", level: \"6\", clock: \"12\"), Fit(name: \"O2\", fit: \"2 1/16 bend\", level: \"6\", clock: \"6\"),";
    for code in ALL_CODES {
        let why = vented(&branch(4, "2x2x2", offset), code, "d1").expect_err("it is too steep");
        assert!(
            why.contains("circuit vent: it falls") && why.contains("at most 1 in per ft"),
            "{code}: {why}"
        );
    }
}

#[test]
fn a_branch_keeps_the_size_of_its_foot_up_to_the_vent() {
    let bushing = "Fit(name: \"U1\", fit: \"3x2 bushing\"),";
    for code in ALL_CODES {
        let why = vented(&branch(4, "3x3x2", bushing), code, "d1").expect_err("it shrinks upstream");
        assert!(why.contains("it is 2 in upstream and 3 in at its foot"), "{code}: {why}");
    }
}

#[test]
fn four_closets_under_a_wet_stack_want_a_relief_vent() {
    let scene = Scene::load("rules/trap-not-vented/ok_circuit_relieved.ron");
    let (open, shut) = (
        r#"level: "6", clock: "12")], end: Roof),
    Branch(name: "c2 arm""#,
        r#"level: "6", clock: "12")], end: Capped),
    Branch(name: "c2 arm""#,
    );
    assert!(scene.text.contains(open));
    let capped = scene.text.replace(open, shut);
    for code in ALL_CODES {
        assert_eq!(vented(&scene.text, code, "c4"), Ok(Method::Circuit), "{code}");
        let why = vented(&capped, code, "c4").expect_err("it has no relief");
        assert!(
            why.contains("4 closets on a stack that takes waste from elsewhere want a relief vent"),
            "{code}: {why}"
        );
        // Nothing comes from above: none is wanted.
        let arm = capped.lines().find(|l| l.contains("shower arm\", from")).expect("it has one");
        let alone = capped.replace(arm, "").replace(r#"Hanger(on: "shower arm"), "#, "");
        assert_eq!(vented(&alone, code, "c4"), Ok(Method::Circuit), "{code}");
    }
}

// 914.4.2 and P3110.4.2, as one city prints 914.4: the drain of a vented fixture that joins last serves as the relief vent where
// it brings 4 units at most. One without a vent of its own does not.
#[test]
fn the_drain_of_a_vented_fixture_serves_as_relief() {
    let scene = Scene::load("rules/trap-not-vented/ok_circuit_relieved.ron");
    let relief = scene.text.lines().find(|l| l.contains("name: \"relief\", from")).expect("it has one");
    let with = |end: &str| {
        let branches = format!(
            r#"Branch(name: "relief", from: "Y0.branch", along: [Fit(name: "VR", fit: "2x2x2 wye", level: "9", clock: "12"), Fit(name: "PR", fit: "2 p-trap", level: "14", swing: "3")], end: Fixture(name: "fd")),
            Branch(name: "its vent", from: "VR.branch", along: [Fit(name: "B4", fit: "2 1/8 bend", level: "6", clock: "12")], end: {end}),"#
        );
        scene
            .text
            .replace(relief, &branches)
            .replace(r#"to: ("76", "4"), clock: "12""#, r#"to: ("76", "4"), clock: "2:59""#)
            .replace("fixtures: [", "fixtures: [ Fixture(name: \"fd\", kind: floor_drain, floor: \"first\", at: (\"92\", \"20\"), tolerance: \"40\"),")
    };
    for code in ALL_CODES {
        assert_eq!(vented(&with("Roof"), code, "c4"), Ok(Method::Circuit), "{code}");
        assert_eq!(vented(&with("Roof"), code, "fd"), Ok(Method::Individual), "{code}");
        let why = vented(&with("Capped"), code, "c4").expect_err("its vent is shut");
        assert!(why.contains("want a relief vent"), "{code}: {why}");
    }
}
