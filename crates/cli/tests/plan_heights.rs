//! `truefall plan heights` as typed: exit status, JSON, and the job written with a copy of the old one beside it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn scene(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes").join(name)
}

fn heights(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_truefall"));
    command.args(["plan", "heights"]).args(arguments).output().expect("the binary runs")
}

#[test]
fn a_stack_that_can_not_be_built_ends_with_1_and_says_why() {
    let out = heights(&[&scene("plan/heights_two_basins.ron").display().to_string()]);
    let text = String::from_utf8_lossy(&out.stdout);
    assert_eq!(out.status.code(), Some(1), "{text}");
    assert!(text.contains("can't be built as asked"), "{text}");
    assert!(text.contains("by 3/16 in"), "{text}");
    assert!(text.contains("raise the high basin to 19 7/16\" off first finished"), "{text}");
}

#[test]
fn the_plan_is_written_once_and_the_old_file_kept() {
    let folder = std::env::temp_dir().join(format!("truefall-heights-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let job = folder.join("job.ron");
    std::fs::copy(scene("bungalow.ron"), &job).expect("a copy");
    let path = job.display().to_string();
    let out = heights(&[&path, "--format", "json", "--apply"]);
    let report: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!(out.status.code(), Some(0));
    assert_eq!(report["stacks"][0]["outcome"], "solved");
    assert_eq!(std::fs::read_dir(&folder).expect("the folder").count(), 2, "the job and the old one");
    // Planned again there is nothing left to do: heights stay where they are.
    let again = heights(&[&path, "--format", "json"]);
    let report: serde_json::Value = serde_json::from_slice(&again.stdout).expect("JSON");
    assert_eq!(report["tried"]["accepted"], true);
    for stack in report["stacks"].as_array().expect("stacks") {
        let moved = stack["windows"].as_array().expect("windows").iter().any(|w| {
            let number = |key: &str| w[key].as_f64().unwrap_or(0.0);
            (number("at") - number("was")).abs() > 1.0 / 15.0
        });
        assert!(!moved, "{stack}");
    }
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}
