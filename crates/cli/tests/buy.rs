//! `truefall buy` as a person meets it: template, prices, what is written into the job.

#![expect(clippy::unwrap_used, reason = "what these helpers run is what the test is about")]

use std::path::{Path, PathBuf};
use std::process::Command;

/// A folder of its own with a copy of the one-bath job.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("truefall-buy-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let scene = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes/one_bath.ron");
    std::fs::copy(scene, folder.join("bath.ron")).unwrap();
    folder
}

fn run(folder: &Path, args: &[&str]) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_truefall")).args(args).current_dir(folder).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (out.status.code().unwrap(), text(out.stdout), text(out.stderr))
}

// Every price is an invented round number: ten of whatever it is, and the reducing tee made dear.
#[test]
fn a_template_filled_in_is_read_and_what_costs_less_is_written_into_the_job() {
    let folder = folder("apply");
    let (status, template, stderr) = run(&folder, &["buy", "bath.ron", "--template"]);
    assert_eq!((status, stderr.as_str()), (0, ""));
    let filled: String = template
        .lines()
        .map(|line| match line.strip_suffix(',') {
            Some(row) if row.starts_with("3x3x1-1/2 sanitary tee") => format!("{row},90\n"),
            Some(row) => format!("{row},10\n"),
            None => format!("{line}\n"),
        })
        .collect();
    std::fs::write(folder.join("prices.csv"), filled).unwrap();
    // The plumber's own notes: behind the tee that is swapped, and elsewhere.
    let before = std::fs::read_to_string(folder.join("bath.ron")).unwrap();
    let before = before
        .replace("18 5/16 off first rough\"),", "18 5/16 off first rough\"), // held to the sill, 3 May");
    assert!(before.contains("3 May"));
    std::fs::write(folder.join("bath.ron"), &before).unwrap();
    let (status, stdout, stderr) = run(&folder, &["buy", "bath.ron", "--prices", "prices.csv", "--apply"]);
    assert_eq!(status, 0, "{stderr}");
    assert!(stdout.contains("Taken together they save 70.00"), "{stdout}");
    assert!(stderr.contains("bath.ron.before-1"), "{stderr}");
    assert_eq!(std::fs::read_to_string(folder.join("bath.ron.before-1")).unwrap(), before);
    let after = std::fs::read_to_string(folder.join("bath.ron")).unwrap();
    assert!(after.contains("3x1-1/2 bushing") && !before.contains("bushing"), "{after}");
    let changed: Vec<&str> = before.lines().filter(|line| !after.lines().any(|l| l == *line)).collect();
    assert!(changed.len() <= 2, "{changed:?}");
    let remarks =
        |text: &str| text.lines().filter_map(|l| Some(l.split_once("// ")?.1.to_owned())).collect::<Vec<_>>();
    assert_eq!(remarks(&after), remarks(&before));
    let (status, stdout, _) = run(&folder, &["check", "bath.ron"]);
    assert_eq!(status, 0, "{stdout}");
    let (_, stdout, _) = run(&folder, &["buy", "bath.ron", "--prices", "prices.csv"]);
    assert!(stdout.contains("Nothing that was tried costs less"), "{stdout}");
}

// The same prices in the notation of a job, taken by `buy` and by `plan heights`.
#[test]
fn a_template_in_the_notation_of_a_job_serves_buying_and_heights() {
    let folder = folder("ron");
    let (status, template, stderr) = run(&folder, &["buy", "bath.ron", "--template", "ron"]);
    assert_eq!((status, stderr.as_str()), (0, ""));
    std::fs::write(folder.join("prices.ron"), template.replace("price: \"\"", "price: \"10\"")).unwrap();
    let (status, stdout, stderr) = run(&folder, &["buy", "bath.ron", "--prices", "prices.ron"]);
    assert_eq!(status, 0, "{stderr}");
    assert!(!stdout.contains("no price"), "{stdout}");
    let (status, stdout, stderr) = run(&folder, &["plan", "heights", "bath.ron", "--prices", "prices.ron"]);
    assert_eq!(status, 0, "{stderr}");
    // Two tees.
    assert!(stdout.contains("fittings at your prices: 20.00\n"), "{stdout}");
    let (status, stdout, stderr) = run(&folder, &["plan", "heights", "bath.ron", "--prices", "none.csv"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.contains("none.csv can't be read"), "{stderr}");
}

#[test]
fn a_faulty_price_file_is_unusable_and_nothing_is_written() {
    let folder = folder("faulty");
    std::fs::write(
        folder.join("prices.csv"),
        "item,material,unit,price\n3 pipe,pvc,foot,dear\nplumb bob,,each,1\n",
    )
    .unwrap();
    let (status, stdout, stderr) = run(&folder, &["buy", "bath.ron", "--prices", "prices.csv", "--apply"]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    for words in ["\"dear\" is no price", "nothing is called \"plumb bob\"", "prices.csv:2", "prices.csv:3"] {
        assert!(stderr.contains(words), "{words} in {stderr}");
    }
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 2);
    let (status, _, stderr) = run(&folder, &["buy", "bath.ron", "--prices", "none.csv"]);
    assert_eq!(status, 2);
    assert!(stderr.contains("none.csv can't be read"), "{stderr}");
    let (status, _, stderr) = run(&folder, &["buy", "bath.ron", "--apply"]);
    assert_eq!(status, 2);
    assert!(stderr.contains("--prices"), "{stderr}");
}
