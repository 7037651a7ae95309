//! Ordinary rooms, roughed in as a careful plumber does it, held to each of the three codes: nothing red may be told of them.
//!
//! A scene of `scenes/ordinary` is one job that is read three times, once with each code. What else is told of it by one code
//! stands in a line such as `//= upc-2021: ask: vents-too-small-together: T1 to roof`. That the rooms are right is common
//! practice; a figure they keep to exactly is named in the scene.

use std::path::{Path, PathBuf};
use truefall_check::{Finding, Verdict};
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_tests::Expected;
use truefall_tests::expect::differences;
use truefall_tests::scene::list;

const CODES: [&str; 3] = ["irc-2021", "ipc-2021", "upc-2021"];

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/ordinary").join(name)
}

fn rooms() -> Vec<(String, String)> {
    let read = |name: String| {
        let text = std::fs::read_to_string(path(&name)).expect("a scene can be read");
        (name, text)
    };
    list("ordinary", Some("ron")).into_iter().map(read).collect()
}

fn findings(name: &str, text: &str, code: &str) -> Vec<Finding> {
    let own = CODES.iter().find(|c| text.contains(&format!("code: \"{c}\""))).expect("a room names its code");
    let text = text.replace(&format!("code: \"{own}\""), &format!("code: \"{code}\""));
    let file = JobFile::read(name, &text).unwrap_or_else(|faults| panic!("{faults}"));
    match truefall_packet::examine(&file.job, Catalog::builtin(), &[Placement::Drawn, Placement::Found]) {
        Ok(examined) => examined.findings,
        Err(faults) => panic!("{}", file.faults(&faults)),
    }
}

/// What a room's own lines expect of it under one code.
fn expected(text: &str, code: &str) -> Vec<Expected> {
    let lines = text.lines().filter_map(|line| line.strip_prefix("//= "));
    lines
        .filter_map(|line| line.strip_prefix(&format!("{code}: ")))
        .map(|line| Expected::parse(line).expect("it says what is found"))
        .collect()
}

#[test]
fn ordinary_rooms_are_not_red_by_any_code() {
    let rooms = rooms();
    assert!(rooms.len() >= 6, "{} rooms", rooms.len());
    let mut wrong = Vec::new();
    for (name, text) in &rooms {
        for code in CODES {
            let told = findings(name, text, code);
            let told = differences(&expected(text, code), &told);
            if !told.is_empty() {
                wrong.push(format!("{name} by {code}\n  {}", told.join("\n  ")));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Lines that expect a red tag would make the test above say nothing.
#[test]
fn no_room_expects_a_red_tag() {
    for (name, text) in rooms() {
        assert!(!text.contains("red tag"), "{name}");
        for line in text.lines().filter(|l| l.starts_with("//=")) {
            assert!(CODES.iter().any(|c| line.starts_with(&format!("//= {c}: "))), "{name}: {line}");
        }
    }
}

/// The rooms are looked at: with every vent shut, each has a trap without one.
#[test]
fn a_room_whose_vents_are_shut_is_red() {
    for (name, text) in rooms() {
        let shut = text.replace("end: Roof(above: \"12\")", "end: Capped()");
        assert_ne!(shut, text, "{name} has a vent through the roof");
        for code in CODES {
            let red = |f: &Finding| f.rule == "trap-not-vented" && f.verdict == Verdict::RedTag;
            assert!(findings(&name, &shut, code).iter().any(red), "{name} by {code} without its vents");
        }
    }
}
