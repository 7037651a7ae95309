//! `truefall new`: a survey from a file of answers, and typed on a pipe, stopped and gone on with.
//!
//! What the survey must give is a trade fact each: a plumb stack and drains at 1/4 in per ft under the joists pass the code
//! (IRC 2021 P3005.3, from memory); iron of service weight is 10.37 in round at 3 in (ASTM A74, from memory).

#![expect(clippy::unwrap_used, reason = "what these helpers run is what the test is about")]

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const ANSWERS: &str = include_str!("data/bath.answers");

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("truefall-new-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[track_caller]
fn run(folder: &Path, args: &[&str], typed: &str) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_truefall"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read all.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let output = child.wait_with_output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// What a person would type for the file's answers: each question's answer in turn, an empty line for the usual.
fn typed() -> Vec<String> {
    let blank = run(&folder("blank"), &["new", "--blank"], "").1;
    let answer = |key: &str| {
        let line = ANSWERS.lines().find_map(|line| line.strip_prefix(&format!("{key}: ")));
        line.unwrap_or("").to_owned()
    };
    let keys = blank.lines().filter(|line| !line.starts_with('#')).filter_map(|line| line.split_once(':'));
    // Asked of a cut pipe only; the file's stands on a hub.
    keys.map(|(key, _)| key).filter(|key| *key != "barrel-straight").map(answer).collect()
}

#[test]
fn answers_of_a_plain_bath_make_a_job_with_no_red_tag() {
    let folder = folder("plain");
    std::fs::write(folder.join("bath.answers"), ANSWERS).unwrap();
    let (status, stdout, stderr) = run(&folder, &["new", "job.ron", "--answers", "bath.answers"], "");
    assert_eq!((status, stderr.as_str()), (0, ""), "{stdout}");
    assert!(
        stdout.starts_with("wrote job.ron\n") && stdout.contains("assumed: subfloor, thick: 3/4"),
        "{stdout}"
    );
    let (status, report, stderr) = run(&folder, &["check", "job.ron"], "");
    assert_eq!((status, stderr.as_str()), (0, ""), "{report}");
    assert!(report.contains("Branch tub arm outwards") && report.contains("Branch closet arm outwards"));
    assert!(std::fs::read_to_string(folder.join("job.ron")).unwrap().contains("assumed: "));
    // A job is never written over.
    let (status, _, stderr) = run(&folder, &["new", "job.ron", "--answers", "bath.answers"], "");
    assert!(status == 2 && stderr.contains("is there already"), "{stderr}");
}

#[test]
fn all_faults_of_a_file_are_told_with_their_lines() {
    let folder = folder("faults");
    let text = ANSWERS
        .replace("iron-round: 10 3/8", "iron-round: 7")
        .replace("wall-length: 10' 0", "wall-lenth: 10' 0")
        .replace("gaps-to-left: 2 1/2, 2 1/2, 2 1/2", "gaps-to-left: 2 1/2")
        .replace("roof-over: 10' 6\n", "");
    std::fs::write(folder.join("bad.answers"), &text).unwrap();
    let (status, stdout, stderr) = run(&folder, &["new", "job.ron", "--answers", "bad.answers"], "");
    assert_eq!((status, stdout.as_str()), (2, ""));
    let line = |what: &str| text.lines().position(|l| l.starts_with(what)).unwrap() + 1;
    for told in [
        format!("bad.answers:{}: iron-round: 7 round is no 3 or 4 in iron barrel", line("iron-round")),
        format!(
            "bad.answers:{}: there is no question wall-lenth; did you mean wall-length?",
            line("wall-lenth")
        ),
        format!("bad.answers:{}: gaps-to-left: read 1 gaps; 3 are needed", line("gaps-to-left")),
        "bad.answers: roof-over: not answered".to_owned(),
        "bad.answers: wall-length: not answered".to_owned(),
        "bad.answers: 5 faults, no job was written".to_owned(),
    ] {
        assert!(stderr.contains(&told), "{told} in\n{stderr}");
    }
    assert!(!folder.join("job.ron").exists());
}

#[test]
fn typed_on_a_pipe_it_is_the_same_job_as_from_the_file() {
    let folder = folder("typed");
    std::fs::write(folder.join("bath.answers"), ANSWERS).unwrap();
    assert_eq!(run(&folder, &["new", "file.ron", "--answers", "bath.answers"], "").0, 0);
    let lines = typed();
    let (status, stdout, stderr) = run(&folder, &["new", "typed.ron"], &(lines.join("\n") + "\n"));
    assert_eq!(status, 0, "{stdout}{stderr}");
    let job = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    assert_eq!(job("typed.ron"), job("file.ron"));
    // What is kept while typing is itself a file of answers.
    assert_eq!(run(&folder, &["new", "kept.ron", "--answers", "typed.answers"], "").0, 0);
    assert_eq!(job("kept.ron"), job("file.ron"));
}

#[test]
fn a_bad_answer_is_asked_again_one_goes_back_and_stops_and_goes_on() {
    let folder = folder("stop");
    let lines = typed();
    // A bad code, refused; a wrong name, taken back; then the first ten, and stop.
    let start = format!("wrong name\nupc-1066\nback\n{}\nstop\n", lines[..10].join("\n"));
    let (status, _, _) = run(&folder, &["new", "job.ron"], "a name\nirc-2021\nback\nback\nstop\n");
    assert_eq!(status, 0);
    // What was taken back is not kept either.
    assert!(!std::fs::read_to_string(folder.join("job.answers")).unwrap().contains("name: "));
    let (status, stdout, stderr) = run(&folder, &["new", "job.ron"], &start);
    assert_eq!((status, stdout.as_str()), (0, ""), "{stderr}");
    assert!(stderr.contains("\"upc-1066\" is none of irc-2021, ipc-2021, upc-2021"), "{stderr}");
    assert!(stderr.contains("10 of ") && stderr.contains("kept in job.answers"), "{stderr}");
    assert!(!folder.join("job.ron").exists());
    let kept = std::fs::read_to_string(folder.join("job.answers")).unwrap();
    assert!(kept.contains("name: Sedge Lane, one bath\n") && !kept.contains("wrong name"), "{kept}");
    // Ended without a word: kept too, and told by the status.
    let (status, _, stderr) = run(&folder, &["new", "job.ron"], &(lines[10..12].join("\n") + "\n"));
    assert!(status == 2 && stderr.contains("12 of "), "{stderr}");
    let (status, stdout, stderr) = run(&folder, &["new", "job.ron"], &(lines[12..].join("\n") + "\n"));
    assert_eq!(status, 0, "{stdout}{stderr}");
    assert_eq!(run(&folder, &["check", "job.ron"], "").0, 0);
}
