//! `truefall plan route` as typed: exit status, JSON, what it says of bad questions, and the job written with a copy of the
//! old one beside it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn scene(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes").join(name).display().to_string()
}

fn route(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_truefall"));
    command.args(["plan", "route"]).args(arguments).output().expect("the binary runs")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A folder with one job in it whose tee sits too low for its lavatory.
fn low_tee(name: &str) -> (PathBuf, String) {
    let folder = std::env::temp_dir().join(format!("truefall-route-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let text = std::fs::read_to_string(scene("routes/ok_2x6_bearing.ron")).expect("the scene is there");
    let low = text.replace("18 5/16 off first rough", "12 off first rough");
    assert_ne!(low, text, "the tee's height is in the scene");
    let job = folder.join("job.ron");
    std::fs::write(&job, low).expect("a copy");
    let job = job.display().to_string();
    (folder, job)
}

// A tee at 18-5/16 lands within 1/16 in in the scene: 1/4 in per ft over the arm. Set low, the route sets it there or a sixteenth off.
#[test]
fn a_route_is_written_once_and_the_old_file_kept() {
    let (folder, job) = low_tee("apply");
    let old = std::fs::read(&job).expect("the job");
    let output = route(&[&job, "lav", "--apply"]);
    assert_eq!(output.status.code(), Some(0), "{}{}", out(&output), err(&output));
    assert!(out(&output).contains("T2 of S1, set at another height"), "{}", out(&output));
    let written = std::fs::read_to_string(&job).expect("the new job");
    assert!(
        written.contains("18 5/16 off first rough") || written.contains("18 1/4 off first rough"),
        "{written}"
    );
    assert_eq!(std::fs::read(format!("{job}.before-1")).expect("the old one"), old);
    assert_eq!(std::fs::read_dir(&folder).expect("the folder").count(), 2);
    // Asked again, the job is as the route wants it.
    let again = route(&[&job, "lav", "--apply"]);
    assert_eq!(again.status.code(), Some(0));
    assert!(err(&again).contains("holds this already"), "{}", err(&again));
    assert_eq!(std::fs::read_dir(&folder).expect("the folder").count(), 2);
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}

#[test]
fn a_route_that_is_not_there_is_not_written() {
    let (folder, job) = low_tee("number");
    let old = std::fs::read(&job).expect("the job");
    let output = route(&[&job, "lav", "--apply", "9"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("no route 9"), "{}", err(&output));
    assert_eq!(std::fs::read(&job).expect("the job"), old);
    assert_eq!(std::fs::read_dir(&folder).expect("the folder").count(), 1);
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}

#[test]
fn json_tells_routes_in_inches_and_what_stops_others() {
    let output = route(&[&scene("routes/ok_2x6_bearing.ron"), "lav", "--format", "json"]);
    let sheet: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!((&sheet["schema"], &sheet["fixture"]), (&1.into(), &"lav".into()));
    let first = &sheet["routes"][0];
    assert!(first["points"].as_f64().expect("points") > 0.0, "{first}");
    // 2-1/8 is the usual bit for 1-1/2 in pipe (common practice); 40 percent of 5-1/2 is 2.2.
    assert_eq!(first["holes"][0]["hole"], 2.125);
    let share = first["holes"][0]["share_of_limit"].as_f64().expect("a share");
    assert!((share - 2.125 / 2.2).abs() < 1e-9, "{share}");
    assert_eq!(sheet["not_taken"].as_array().map(Vec::len), Some(0));

    let stopped = route(&[&scene("routes/none_bearing_4.ron"), "lav", "--format", "json"]);
    let sheet: serde_json::Value = serde_json::from_slice(&stopped.stdout).expect("JSON");
    assert_eq!(stopped.status.code(), Some(1));
    assert_eq!(sheet["routes"].as_array().map(Vec::len), Some(0));
    assert!(
        sheet["not_taken"][0]["stops"][0].as_str().expect("a stop").contains("at most 1.600 in"),
        "{sheet}"
    );
}

#[test]
fn to_names_where_it_starts() {
    let output = route(&[&scene("routes/ok_2x6_bearing.ron"), "lav", "--to", "S1"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).contains("of S1"), "{}", out(&output));
    let output = route(&[&scene("routes/ok_2x6_bearing.ron"), "lav", "--to", "nowhere"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("nowhere") && out(&output).is_empty(), "{}", err(&output));
}

#[test]
fn why_not_always_says_something() {
    let output = route(&[&scene("routes/ok_2x6_bearing.ron"), "lav", "--why-not"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("not taken"), "{}", out(&output));
    let silent = route(&[&scene("routes/ok_2x6_bearing.ron"), "lav"]);
    assert!(!out(&silent).contains("not taken"), "{}", out(&silent));
}

#[test]
fn no_route_ends_with_1_also_where_one_was_to_be_written() {
    for more in [&[][..], &["--apply"]] {
        let path = scene("routes/none_upc_arm.ron");
        let arguments: Vec<&str> = [path.as_str(), "lav"].into_iter().chain(more.iter().copied()).collect();
        let output = route(&arguments);
        assert_eq!(output.status.code(), Some(1), "{arguments:?}: {}", err(&output));
        assert!(out(&output).contains("trap-arm-too-long"), "{}", out(&output));
    }
}

#[test]
fn questions_that_can_not_be_put_end_with_2() {
    let path = scene("routes/ok_2x6_bearing.ron");
    let output = route(&[&path, "lavatry"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("no fixture lavatry; known: closet, lav"), "{}", err(&output));
    for wrong in [&["--k", "0"][..], &["--apply", "0"], &["--format", "xml"]] {
        let arguments: Vec<&str> = [path.as_str(), "lav"].into_iter().chain(wrong.iter().copied()).collect();
        assert_eq!(route(&arguments).status.code(), Some(2), "{wrong:?}");
    }
    let output = route(&[&scene("routes/nothing_here.ron"), "lav"]);
    assert_eq!(output.status.code(), Some(2));
}

// Coupling 0.60 and 1-1/2 pipe at 1.20 a foot; the bend has no price.
#[test]
fn prices_count_and_what_has_none_is_named() {
    let prices = std::env::temp_dir().join(format!("truefall-route-prices-{}.csv", std::process::id()));
    std::fs::write(
        &prices,
        "item,material,unit,price\n1-1/2 coupling,pvc,each,0.60\n1-1/2 pipe,pvc,foot,1.20\n",
    )
    .expect("the prices are written");
    let job = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes/routes/ok_2x6_not_bearing.ron");
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_truefall"))
        .args(["plan", "route", job, "lav", "--k", "1", "--prices"])
        .arg(&prices)
        .output()
        .expect("it runs");
    std::fs::remove_file(&prices).expect("it is taken away again");
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{text}");
    let line = text.lines().find(|l| l.contains("  price ")).unwrap_or_else(|| panic!("{text}"));
    assert!(line.contains("without a price: 1-1/2 1/4 bend"), "{line}");
    let sum: f64 = line.split_whitespace().nth(1).and_then(|s| s.parse().ok()).expect("a sum");
    // About 2 ft 3 in of arm and a stub of about 7 in: pipe between 2 and 3-1/2 ft.
    assert!((0.60 + 2.0 * 1.20..0.60 + 3.5 * 1.20).contains(&sum), "{line}");
}
