//! The binary as a person or a script meets it: arguments, exit status, stdout, stderr.
//!
//! Outside facts it is held to: exit status 0 for success and above 0 for failure (POSIX.1-2017, 2.8.2), that a process
//! whose reader is gone gets EPIPE (POSIX.1-2017, write), JSON as `serde_json` reads it, `NO_COLOR` and no escape codes
//! where the output is no terminal (ECMA-48 for what a code looks like).

#![expect(clippy::unwrap_used, reason = "what these helpers run is what the test is about")]

use serde_json::Value;
use std::collections::BTreeSet;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

fn truefall(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_truefall"));
    command.args(args).current_dir(data(""));
    command
}

#[track_caller]
fn run(args: &[&str]) -> (i32, String, String) {
    let Output { status, stdout, stderr } = truefall(args).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (status.code().unwrap(), text(stdout), text(stderr))
}

#[track_caller]
fn json(file: &str, more: &[&str]) -> Value {
    let (_, stdout, _) = run(&[&["check", file, "--format", "json"], more].concat());
    serde_json::from_str(&stdout).unwrap()
}

fn rows<'v>(value: &'v Value, field: &str) -> &'v Vec<Value> {
    value[field].as_array().unwrap()
}

#[test]
fn help_is_a_result_and_names_every_option() {
    let (status, stdout, stderr) = run(&["check", "--help"]);
    assert_eq!((status, stderr.as_str()), (0, ""));
    for option in ["--format", "--placement", "--catalog", "--timings", "--eighths", "--all", "--fixes"] {
        assert!(stdout.contains(option), "{option} in\n{stdout}");
    }
}

#[test]
fn wrong_arguments_are_unusable_input() {
    for args in [&[][..], &["chek"], &["check"], &["check", "clean.ron", "--format", "xml"]] {
        let (status, stdout, stderr) = run(args);
        assert_eq!((status, stdout.as_str()), (2, ""), "{args:?}");
        assert!(stderr.contains("--help"), "{args:?}: {stderr}");
    }
}

#[test]
fn a_missing_file_is_named() {
    let (status, stdout, stderr) = run(&["check", "nowhere.ron"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.starts_with("nowhere.ron can't be read: "), "{stderr}");
}

#[test]
fn slips_of_a_file_are_told_all_at_once_with_line_and_column() {
    let (status, stdout, stderr) = run(&["check", "slips.ron"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    for told in [
        "house.floors[0].outline[1][0]: \"12 ft 20\" is not a length; write it like 14 3/4",
        "slips.ron:11:32",
        "fixtures[0]: the field `kind` is missing",
        "fixtures[0]: Fixture has no field `knd`; allowed: name, kind,",
        "slips.ron:39:29",
        "help: did you mean `kind`?",
        "slips.ron: 3 faults, nothing was checked",
    ] {
        assert!(stderr.contains(told), "{told} in\n{stderr}");
    }
    assert!(!stderr.contains('\u{1b}'), "no codes where stderr is no terminal");
}

#[test]
fn names_that_are_not_there_are_told_with_the_nearest_that_are() {
    let (status, stdout, stderr) = run(&["check", "unknown_names.ron"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    for told in [
        "code: there is no code profile `irc-2012`; there is irc-2021",
        "unknown_names.ron:5:9",
        "did you mean `irc-2021`?",
        "no fitting is called \"3x3x1-1/2 santary tee\"",
        "branches[0].from: there is no fitting T9",
    ] {
        assert!(stderr.contains(told), "{told} in\n{stderr}");
    }
}

#[test]
fn the_exit_status_says_whether_anything_is_red() {
    for (file, wanted) in [("clean.ron", 0), ("leaning.ron", 1)] {
        let (status, stdout, stderr) = run(&["check", file]);
        assert_eq!((status, stderr.as_str()), (wanted, ""), "{file}:\n{stdout}");
        let red = json(file, &[])["counts"]["red_tag"].as_u64().unwrap();
        assert_eq!(red > 0, wanted == 1, "{file}");
    }
}

#[test]
fn the_lean_is_red_only_as_found() {
    assert_eq!(run(&["check", "leaning.ron", "--placement", "drawn"]).0, 0);
    assert_eq!(run(&["check", "leaning.ron", "--placement", "found"]).0, 1);
    let of = |placement: &str| {
        let report = json("leaning.ron", &["--placement", placement]);
        rows(&report, "stack").iter().all(|row| row["placement"] == placement)
    };
    assert!(of("drawn") && of("found"));
}

// A lean of 1 in per ft along a leg takes 1 in per ft from its fall (plumb string and level, common practice): what was
// to fall 1/4 runs 3/4 uphill. On the exact turn the two differ by the cosines of 4.8 degrees, under 2 in a hundred.
#[test]
fn json_tells_the_lean_and_what_it_does_to_a_leg() {
    let report = json("leaning.ron", &[]);
    assert_eq!(report["schema"], 1);
    let lean = &rows(&report, "lean")[0];
    assert!((lean["in_per_ft"].as_f64().unwrap() - 1.0).abs() < 1e-9, "{lean}");
    let toward = |wall: &str| {
        rows(lean, "strings").iter().find(|s| s["wall"] == wall).unwrap()["in_per_ft"].as_f64().unwrap()
    };
    assert!((toward("end") - 1.0).abs() < 1e-9 && toward("wet").abs() < 1e-9, "{lean}");
    let grade = |placement: &str| {
        let leg = rows(&report, "legs")
            .iter()
            .find(|l| l["low"] == "T2" && l["high"] == "B2" && l["placement"] == placement);
        leg.unwrap()["grade"].as_f64().unwrap()
    };
    assert!((grade("drawn") - 0.25).abs() < 1e-9);
    assert!((grade("found") + 0.75).abs() < 0.02, "{}", grade("found"));
}

// A height off finished is the height off rough less the build-up, 7/8 in this house.
#[test]
fn heights_off_rough_and_finished_differ_by_the_build_up() {
    let report = json("clean.ron", &[]);
    let stack = rows(&report, "stack");
    assert!(!stack.is_empty());
    for row in stack {
        let off = |field: &str| row[field].as_f64().unwrap();
        assert!((off("rough") - off("finished") - 0.875).abs() < 1e-9, "{row}");
        assert_eq!(row["floor"], "first");
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for args in [&["check", "leaning.ron"][..], &["check", "leaning.ron", "--format", "json"]] {
        assert_eq!(run(args), run(args));
    }
}

#[test]
fn text_has_no_codes_where_stdout_is_no_terminal() {
    let (_, stdout, _) = run(&["check", "leaning.ron"]);
    assert!(!stdout.contains('\u{1b}'));
    assert!(stdout.contains("red tag["), "the verdict stands in words:\n{stdout}");
}

#[test]
fn eighths_are_printed_on_request() {
    let (_, fine, _) = run(&["check", "clean.ron"]);
    let (_, coarse, _) = run(&["check", "clean.ron", "--eighths"]);
    assert!(fine.contains("/16\"") && !coarse.contains("/16\""), "{coarse}");
}

#[test]
fn timings_go_to_stderr_and_change_no_result() {
    let (status, stdout, stderr) = run(&["check", "clean.ron", "--timings"]);
    assert_eq!((status, stdout), (0, run(&["check", "clean.ron"]).1));
    for step in ["read", "place", "bores", "rules", "report"] {
        assert!(
            stderr.lines().any(|l| l.trim_start().starts_with(step) && l.ends_with(" ms")),
            "{step} in\n{stderr}"
        );
    }
}

#[test]
fn a_reader_who_has_gone_is_no_error() {
    for (file, wanted) in [("clean.ron", 0), ("leaning.ron", 1)] {
        let mut child = truefall(&["check", file, "--format", "json"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // The pipe is closed before anything can have been read.
        drop(child.stdout.take());
        let mut stderr = String::new();
        child.stderr.take().unwrap().read_to_string(&mut stderr).unwrap();
        assert_eq!((child.wait().unwrap().code(), stderr.as_str()), (Some(wanted), ""), "{file}");
    }
}

#[test]
fn explain_lists_every_rule_and_pages_each() {
    let (status, list, stderr) = run(&["explain"]);
    assert_eq!((status, stderr.as_str()), (0, ""));
    let rules: Vec<&str> = list.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert!(!rules.is_empty());
    for rule in rules {
        let (status, page, _) = run(&["explain", rule]);
        assert_eq!(status, 0, "{rule}");
        assert!(page.contains(rule), "{page}");
    }
}

#[test]
fn an_unknown_rule_is_answered_with_the_nearest() {
    let (status, stdout, stderr) = run(&["explain", "drain-to-flat"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.contains("no rule `drain-to-flat`; did you mean `drain-too-flat`?"), "{stderr}");
}

#[test]
fn a_catalog_folder_must_be_there_and_hold_files() {
    let (status, stdout, stderr) = run(&["check", "clean.ron", "--catalog", "nowhere"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.starts_with("nowhere can't be read: "), "{stderr}");
    let (status, _, stderr) = run(&["check", "clean.ron", "--catalog", ".."]);
    assert_eq!(status, 2);
    assert!(stderr.contains(".. holds no catalog file (*.ron)"), "{stderr}");
}

/// All names of fields in a value.
fn fields(value: &Value, out: &mut BTreeSet<String>) {
    match value {
        Value::Array(values) => values.iter().for_each(|v| fields(v, out)),
        Value::Object(object) => {
            for (name, value) in object {
                out.insert(name.clone());
                fields(value, out);
            }
        }
        _ => {}
    }
}

#[test]
fn every_field_of_the_json_is_told_in_the_docs() {
    let docs = std::fs::read_to_string(data("../../../../docs/report.md")).unwrap();
    let told = docs.split("## One real finding").next().unwrap();
    let mut names = BTreeSet::new();
    fields(&json("leaning.ron", &[]), &mut names);
    assert!(names.len() > 50, "{names:?}");
    let missing: Vec<&String> = names.iter().filter(|n| !told.contains(&format!("`{n}`"))).collect();
    assert!(missing.is_empty(), "not in docs/report.md: {missing:?}");
}

#[test]
fn a_name_in_a_job_can_not_steer_the_terminal() {
    let clean = std::fs::read_to_string(data("clean.ron")).unwrap();
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
    let write = |name: &str, text: String| {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let good = write("steering.ron", clean.replace("Tern Street", "Tern\u{1b}[2J Street"));
    let (status, stdout, _) = run(&["check", &good]);
    assert_eq!((status, stdout.contains('\u{1b}')), (0, false));
    let bad = write("steering_slip.ron", clean.replace("kind: closet", "kind: \"clo\u{1b}[2Jset\""));
    let (status, _, stderr) = run(&["check", &bad]);
    assert_eq!((status, stderr.contains('\u{1b}')), (2, false), "{stderr}");
}

#[test]
fn a_catalog_folder_is_laid_over_the_built_in_one() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("catalog");
    std::fs::create_dir_all(&folder).unwrap();
    let built_in = data("../../../../assets/catalog/lumber.ron");
    let text = std::fs::read_to_string(built_in).unwrap();
    let with = |text: &str| {
        std::fs::write(folder.join("lumber.ron"), text).unwrap();
        run(&["check", "clean.ron", "--catalog", folder.to_str().unwrap()])
    };
    assert_eq!(with(&text), run(&["check", "clean.ron"]), "the built-in file changes nothing");
    let (status, stdout, stderr) = with("[Lumbr()]");
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.contains("lumber.ron:1:"), "{stderr}");
}

#[test]
fn every_profile_is_listed_and_printed_with_its_figures() {
    let (status, list, stderr) = run(&["codes"]);
    assert_eq!((status, stderr.as_str()), (0, ""));
    for name in ["irc-2021", "ipc-2021", "upc-2021"] {
        assert!(list.contains(name), "{name} in\n{list}");
        let (status, figures, _) = run(&["codes", name]);
        assert_eq!(status, 0);
        for part in ["Grade", "Traps", "Wood", "trap-arm-length.2", "memory: confirm in your code book"] {
            assert!(figures.contains(part), "{part} in\n{figures}");
        }
        // The page's own width, in characters; no figure, section or note runs over it.
        let wide: Vec<&str> = figures.lines().filter(|line| line.chars().count() > 100).collect();
        assert!(wide.is_empty(), "{wide:#?}");
    }
    // UPC Table 1002.2: a 2 in arm is 5 ft at most. Wood is the residential code's.
    let (_, upc, _) = run(&["codes", "upc-2021"]);
    let arm = upc.lines().find(|line| line.contains("trap-arm-length.2 ")).unwrap();
    let words: Vec<&str> = arm.split_whitespace().collect();
    assert_eq!(words[1..6], ["60", "in", "Table", "1002.2", "secondary"]);
    assert!(upc.contains("IRC R602.6"));
}

#[test]
fn a_profile_that_is_not_there_is_unusable_input_with_the_nearest() {
    let (status, stdout, stderr) = run(&["codes", "ipc-2012"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.contains("there is no code profile `ipc-2012`; did you mean `ipc-2021`?"), "{stderr}");
}

#[test]
fn passes_and_fixes_come_only_where_they_are_asked_for() {
    let file = "../../../../scenes/rules/shield-plate-missing/bad_bare.ron";
    let plain = json(file, &[]);
    assert!(plain.get("passes").is_none() && rows(&plain, "findings")[0].get("fix").is_none());
    let all = json(file, &["--all", "--fixes"]);
    assert!(
        rows(&all, "passes").iter().all(|p| p["verdict"] == "pass" && p["margin"].as_f64().unwrap() >= 0.0)
    );
    let fix = &rows(&all, "findings")[0]["fix"];
    assert_eq!(fix["mends"], true);
    assert_eq!(fix["breaks"].as_array().unwrap().len(), 0);
    assert_eq!(fix["edits"][0]["what"], "provided");
    assert!(fix["edits"][0]["item"].as_str().unwrap().starts_with("Plate(member: "), "{fix}");
    let (_, text, _) = run(&["check", file, "--all", "--fixes"]);
    assert!(text.contains("fix       nail a steel plate") && text.contains("Passes ("), "{text}");
}

// A remedy written is a job that reads as planned; the file as it was is kept to the byte.
#[test]
fn a_remedy_of_a_lean_is_written_and_the_old_file_kept() {
    let folder = std::env::temp_dir().join(format!("truefall-lean-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("leaning.ron");
    std::fs::copy(data("leaning.ron"), &file).unwrap();
    let before = std::fs::read(&file).unwrap();
    let path = file.to_str().unwrap();
    let (status, stdout, stderr) = run(&["plan", "lean", path, "--format", "json"]);
    assert_eq!((status, stderr.as_str()), (0, ""), "{stdout}");
    let plan: Value = serde_json::from_str(&stdout).unwrap();
    let stack = &rows(&plan, "stacks")[0];
    assert!((stack["in_per_ft"].as_f64().unwrap() - 1.0).abs() < 1e-9, "{stack}");
    // 1 in per ft is 4.8 degrees, past the 3 of a gasket and the 2 of a sleeve.
    for row in rows(stack, "remedies").iter().chain(rows(stack, "refused")) {
        let over = row["joint"]["asks_deg"].as_f64() > row["joint"]["limit_deg"].as_f64();
        assert!(!over || row.get("why").is_some(), "{row}");
    }
    let many = rows(stack, "remedies").len();
    let (status, _, stderr) = run(&["plan", "lean", path, "--take", &(many + 1).to_string(), "--apply"]);
    assert_eq!(status, 2, "{stderr}");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    if many > 0 {
        let (status, _, stderr) = run(&["plan", "lean", path, "--apply"]);
        assert_eq!(status, 0, "{stderr}");
        assert!(stderr.contains("leaning.ron.before-1"), "{stderr}");
        assert_eq!(std::fs::read(folder.join("leaning.ron.before-1")).unwrap(), before);
        assert!(run(&["check", path]).0 < 2);
    }
    std::fs::remove_dir_all(&folder).unwrap();
}
