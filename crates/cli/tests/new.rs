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

/// The plain bath's answers with some lines changed; an empty answer leaves the line out.
fn changed(changes: &[(&str, &str)]) -> String {
    let mut lines: Vec<String> = ANSWERS.lines().map(str::to_owned).collect();
    for (key, answer) in changes {
        let start = format!("{key}: ");
        lines.retain(|line| !line.starts_with(&start));
        if !answer.is_empty() {
            lines.push(format!("{start}{answer}"));
        }
    }
    lines.join("\n")
}

/// Makes a job of changed answers: what was told, and the status and text of its check.
#[track_caller]
fn made(name: &str, changes: &[(&str, &str)]) -> (String, i32, String) {
    let folder = folder(name);
    std::fs::write(folder.join("a.answers"), changed(changes)).unwrap();
    let (status, told, stderr) = run(&folder, &["new", "job.ron", "--answers", "a.answers"], "");
    assert_eq!((status, stderr.as_str()), (0, ""), "{name}: {told}");
    let (status, report, _) = run(&folder, &["check", "job.ron"], "");
    (told, status, report)
}

// Other baths by other codes, joists the other way, a crawl space, 4 in iron, and hardly anything measured: every one of them is a job that
// checks without a red tag.
#[test]
fn many_baths_make_jobs_that_check() {
    let little: Vec<(&str, &str)> = [
        "code",
        "floor-build-up",
        "joist-depth",
        "joist-edges",
        "stud-edges",
        "wall-bearing",
        "wall-finish",
        "string-heights",
        "gaps-into-room",
        "gaps-to-left",
    ]
    .map(|key| (key, ""))
    .to_vec();
    let four = [
        ("iron-round", "13 1/2"),
        ("stack-along", "4' 7"),
        ("bathing", "none"),
        ("bath-along", ""),
        ("bath-out", ""),
        ("code", "ipc-2021"),
    ];
    let cases: [(&str, &[(&str, &str)]); 5] = [
        ("upc", &[("bathing", "shower"), ("code", "upc-2021")]),
        ("along", &[("joists-run", "along"), ("joist-edges", "0, 16, 32, 48, 64, 80, 94 1/2")]),
        ("crawl", &[("base-down", "5' 6")]),
        ("four", &four),
        ("little", &little),
    ];
    for (name, changes) in cases {
        let (_, status, report) = made(name, changes);
        assert_eq!(status, 0, "{name}: {report}");
    }
    // With a tub on 4 in the tees have their room too; that IRC's tables know no wet vent of 4 in is for the check to tell.
    let tub = [("iron-round", "13 1/2"), ("stack-along", "4' 7")];
    let (_, status, report) = made("four-tub", &tub);
    assert!(status == 1 && !report.contains("piece-too-short"), "{report}");
    assert!(report.contains("vertical wet vent: IRC 2021 has none in 4 in pipe"), "{report}");
}

// A gap that shrinks upward leans toward the string (plumb line): 1/4 in over 24 in is 1/8 in per ft to the left, and an arm at 1/4 that heads
// left keeps 1/8. Set plumb as planned, it falls as drawn.
#[test]
fn a_leaning_pipe_on_a_cut_end_is_told_and_can_be_set_plumb() {
    let folder = folder("leaning");
    let changes = [("base", "cut"), ("barrel-straight", "14"), ("gaps-to-left", "2 1/2, 2 3/8, 2 1/4")];
    std::fs::write(folder.join("a.answers"), changed(&changes)).unwrap();
    assert_eq!(run(&folder, &["new", "job.ron", "--answers", "a.answers"], "").0, 0);
    let (status, report, _) = run(&folder, &["check", "job.ron"], "");
    let words = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(status == 1 && words.contains("lavatory arm from T3 to B2 falls 0.125 in per ft"), "{report}");
    let (status, _, stderr) = run(&folder, &["plan", "lean", "job.ron", "--take", "1", "--apply"], "");
    assert_eq!(status, 0, "{stderr}");
    let (status, report, _) = run(&folder, &["check", "job.ron"], "");
    assert_eq!(status, 0, "{report}");
}

// A rim 10 in under the floor leaves no room for pipes under joists 7-1/2 deep: the job is made all the same, and that is said.
#[test]
fn a_rim_too_high_for_the_joists_is_said() {
    let (told, status, _) = made("high", &[("base-down", "10")]);
    assert!(told.contains("the rim is too high for pipes under the joists"), "{told}");
    assert_eq!(status, 1);
    let (told, ..) = made("near", &[("lavatory-along", "4' 10")]);
    assert!(told.contains("the lavatory is 4\" beside the stack, too near for a bend"), "{told}");
}

// What goes against another answer is told with its line, together with what is no length at all.
#[test]
fn answers_that_go_against_each_other_are_told_at_once_with_their_lines() {
    let folder = folder("against");
    let text = changed(&[
        ("stack-along", "12' 0"),
        ("closet-out", "a yard"),
        ("joist-edges", "2, 18, 20' 0"),
        ("stud-edges", "0, 16, 15"),
    ]);
    std::fs::write(folder.join("bad.answers"), &text).unwrap();
    let (status, stdout, stderr) = run(&folder, &["new", "job.ron", "--answers", "bad.answers"], "");
    assert_eq!((status, stdout.as_str()), (2, ""));
    let line = |what: &str| text.lines().position(|l| l.starts_with(what)).unwrap() + 1;
    for told in [
        format!(
            "bad.answers:{}: stack-along: 12' 0\" lies outside the room, which ends at 10' 0\"",
            line("stack-along")
        ),
        format!("bad.answers:{}: closet-out: \"a yard\" is not a length", line("closet-out")),
        format!("bad.answers:{}: joist-edges: 20' 0\" lies beyond the room", line("joist-edges")),
        format!("bad.answers:{}: stud-edges: 15 does not lie beyond the one before it", line("stud-edges")),
        "bad.answers: 4 faults, no job was written".to_owned(),
    ] {
        assert!(stderr.contains(&told), "{told} in\n{stderr}");
    }
}

// Typed, such an answer is refused on the spot; one that only a later answer shows up is asked again at the end.
#[test]
fn typed_answers_that_go_against_each_other_are_asked_again() {
    let folder = folder("typed-against");
    let mut lines = typed();
    let at = |lines: &[String], answer: &str| lines.iter().position(|l| l == answer).unwrap();
    let stack = at(&lines, "4' 6");
    lines.insert(stack, "12' 0".to_owned());
    let joists = at(&lines, "2, 18, 34 1/4, 50, 5' 6, 6' 10, 8' 2, 9' 5 1/2");
    let right = std::mem::replace(&mut lines[joists], "2, 18, 20' 0".to_owned());
    let (status, _, stderr) = run(&folder, &["new", "job.ron"], &(lines.join("\n") + "\n" + &right + "\n"));
    assert_eq!(status, 0, "{stderr}");
    assert!(stderr.contains("12' 0\" lies outside the room, which ends at 10' 0\""), "{stderr}");
    assert!(
        stderr
            .contains("joist-edges: 20' 0\" lies beyond the room, which ends at 10' 0\"; it is asked again"),
        "{stderr}"
    );
    assert_eq!(run(&folder, &["check", "job.ron"], "").0, 0);
}

// A house that the form is not for: it says so first, and a slab is refused with what to do instead.
#[test]
fn a_house_on_a_slab_is_sent_to_the_job_file() {
    let folder = folder("slab");
    assert!(
        run(&folder, &["new", "--blank"], "").1.contains("a slab, or no iron: write the job file by hand")
    );
    let answers: String = ANSWERS
        .lines()
        .filter(|line| !line.starts_with("joists-run"))
        .chain(["joists-run: slab"])
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(folder.join("slab.answers"), answers).unwrap();
    let (status, _, stderr) = run(&folder, &["new", "job.ron", "--answers", "slab.answers"], "");
    assert_eq!(status, 2);
    assert!(
        stderr.contains("\"slab\" is none of across, along; ") && stderr.contains("docs/job-file.md"),
        "{stderr}"
    );
    let (_, _, stderr) = run(&folder, &["new", "job.ron"], "stop\n");
    assert!(stderr.contains("for one bathroom on one floor of joists"), "{stderr}");
}
