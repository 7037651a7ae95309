//! `truefall plan lean` as typed: text, JSON, a remedy taken, and what it may not do.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn scene(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes").join(name)
}

fn lean(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_truefall"));
    command.args(["plan", "lean"]).args(arguments).output().expect("the binary runs")
}

#[test]
fn what_is_not_known_and_what_is_refused_is_said() {
    let out = lean(&[&scene("bungalow.ron").display().to_string()]);
    let text = String::from_utf8_lossy(&out.stdout);
    assert_eq!(out.status.code(), Some(0), "{text}");
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "leans 0.204 ± 0.034 in per ft",
        "What is not known",
        "no code and no pipe standard that we know gives a greatest lean for a drain pipe",
        "Refused for main",
        "the solvent weld between T1 and T2 would stand at 0.97°, may stand at 0.00°",
    ] {
        assert!(words.contains(said), "{said} in\n{text}");
    }
}

#[test]
fn a_remedy_is_taken_by_its_number_and_the_old_file_kept() {
    let folder = std::env::temp_dir().join(format!("truefall-lean-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let job = folder.join("job.ron");
    std::fs::copy(scene("bungalow.ron"), &job).expect("a copy");
    let path = job.display().to_string();
    let out = lean(&[&path, "--take", "99", "--apply"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&out.stderr).contains("there is no remedy 99"));
    let out = lean(&[&path, "--format", "json", "--take", "1", "--apply"]);
    assert_eq!(out.status.code(), Some(0), "{}", String::from_utf8_lossy(&out.stderr));
    let plan: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!(plan["stacks"][0]["remedies"][0]["number"], 1);
    assert!(plan["not_known"].as_array().is_some_and(|list| list.len() >= 4));
    assert!(std::fs::read_to_string(&job).expect("the job").contains("corrections"));
    assert_eq!(std::fs::read_dir(&folder).expect("the folder").count(), 2, "the job and the old one");
    // The heights of a stack set plumb at a joint are planned on.
    let heights = Command::new(env!("CARGO_BIN_EXE_truefall")).args(["plan", "heights", &path]).output();
    let heights = heights.expect("the binary runs");
    let text = String::from_utf8_lossy(&heights.stdout);
    assert!(text.contains("Stack main can be built"), "{text}");
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}
