//! `truefall plan vents` as it is run: exit status, what is printed, prices, and what `--apply` writes.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn truefall(args: &[&str], file: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_truefall"));
    command.args(["plan", "vents"]).arg(file).args(args).output().expect("the binary runs")
}

fn scene(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes/vents").join(name)
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("it prints text")
}

fn json(args: &[&str], file: &Path) -> serde_json::Value {
    let told = truefall(&[&["--format", "json"], args].concat(), file);
    serde_json::from_slice(&told.stdout).unwrap_or_else(|_| panic!("{}", text(&told.stderr)))
}

/// A folder of its own for one test.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("truefall-vents-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    folder
}

// By hand: the washer's rim is at 36 in, level vent and a tie stand 6 in over it (IRC P3104.5, P3104.4): 42 in and up; the arm of 2 in is
// vented by 1-1/2 in at the least of half of it, and not under 1-1/4 (P3113.1).
#[test]
fn a_trap_that_gets_a_vent_ends_in_0_and_one_that_gets_none_in_1() {
    let told = truefall(&[], &scene("re_vent.ron"));
    assert_eq!(told.status.code(), Some(0));
    let out = text(&told.stdout).split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "washer (individual vent)",
        "No. 1 re-vent",
        "to a 1/4 bend V3 at 3' 6 1/2\" off first rough",
        "on its head in stack at 3' 6 5/8\"",
        "the vent of washer is 1-1/2 in",
        "IRC 2021 P3113.1",
        "over the rim of washer, at least 6\"",
        "The cheapest for the whole job no. 1",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    // Progress is shown to people only, and only where it takes long.
    assert!(told.stderr.is_empty(), "{}", text(&told.stderr));
    let none = truefall(&["--why-not"], &scene("none_close_closet.ron"));
    assert_eq!(none.status.code(), Some(1));
    let out = text(&none.stdout);
    assert!(out.contains("why not") && out.contains("still without a vent: closet"), "{out}");
    assert_eq!(truefall(&[], Path::new("no_such.ron")).status.code(), Some(2));
}

#[test]
fn k_says_how_many_ways_are_told() {
    for (k, most) in [("1", 1), ("2", 2)] {
        let json = json(&["--k", k], &scene("re_vent.ron"));
        let offers: Vec<u64> =
            (json["traps"][0]["offers"].as_array().unwrap().iter()).map(|o| o.as_u64().unwrap()).collect();
        // Numbers run from 1 over what is told.
        assert_eq!(offers, (1..=most).collect::<Vec<u64>>(), "{json}");
        assert_eq!((&json["cheapest"], &json["combination"]), (&true.into(), &serde_json::json!([1])));
    }
    assert_eq!(truefall(&["--k", "0"], &scene("re_vent.ron")).status.code(), Some(2));
}

#[test]
fn apply_writes_the_combination_by_the_names_told_and_keeps_the_old_file() {
    let folder = folder("apply");
    let job = folder.join("job.ron");
    std::fs::copy(scene("joined.ron"), &job).unwrap();
    // By the code without valves two vents are wanted, one joined to the other.
    let upc = std::fs::read_to_string(&job).unwrap().replace("irc-2021", "upc-2021");
    std::fs::write(&job, &upc).unwrap();
    let told = json(&["--apply"], &job);
    let kept = |path: &PathBuf| *path != job && std::fs::read_to_string(path).unwrap() == upc;
    assert!(std::fs::read_dir(&folder).unwrap().any(|e| kept(&e.unwrap().path())));
    let written = std::fs::read_to_string(&job).unwrap();
    assert_ne!(written, upc);
    let chosen = told["combination"].as_array().unwrap();
    assert_eq!(chosen.len(), 2, "{told}");
    // Every new fitting that is told stands in the file under its name, and none has two.
    let mut names = std::collections::BTreeSet::new();
    for number in chosen {
        let offer = &told["offers"][number.as_u64().unwrap() as usize - 1];
        assert_eq!(offer["number"], *number);
        let steps = offer["steps"].to_string();
        let is_name = |w: &&str| {
            w.strip_prefix('V').is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
        };
        let own: std::collections::BTreeSet<String> =
            steps.split(|c: char| !c.is_ascii_alphanumeric()).filter(is_name).map(str::to_owned).collect();
        assert!(!own.is_empty(), "{steps}");
        for name in own {
            assert!(written.contains(&format!("\"{name}\"")), "{name} is not in {written}");
            assert!(names.insert(name), "one name for two fittings: {steps}");
        }
    }
    let again = truefall(&[], &job);
    assert_eq!(again.status.code(), Some(0));
    assert!(text(&again.stdout).contains("every trap has a vent"), "{}", text(&again.stdout));
    std::fs::remove_dir_all(&folder).unwrap();
}

// A valve costs 6 points beside 4 joints and a panel, 10.5; the re-vent 8.5 with three fittings. At 40 a fitting (10 points) and nothing for
// a valve, the valve with two fittings is the cheaper by the sum.
#[test]
fn prices_count_with_the_points() {
    let folder = folder("prices");
    let prices = folder.join("prices.csv");
    let rows = "item,material,unit,price\n2x2x1-1/2 combination,pvc,each,40\n2x2x1-1/2 wye,pvc,each,40\n1-1/2 1/8 bend,pvc,each,40\n2x2x1-1/2 sanitary tee,pvc,each,40\n1-1/2 1/4 bend,pvc,each,40\n1-1/2 coupling,pvc,each,1\n1-1/2 pipe,pvc,foot,1\n1-1/2 air admittance valve,,each,1\n";
    std::fs::write(&prices, rows).unwrap();
    let plain = json(&["--k", "3"], &scene("re_vent.ron"));
    assert_eq!(plain["offers"][0]["kind"], "re-vent");
    assert_eq!(plain["cost"]["price"], serde_json::Value::Null);
    let priced = json(&["--prices", prices.to_str().unwrap()], &scene("re_vent.ron"));
    assert_eq!(priced["offers"][0]["kind"], "vent by a valve", "{priced}");
    let cost = &priced["cost"];
    let (points, price) = (cost["points"].as_f64().unwrap(), cost["price"].as_f64().unwrap());
    // Combination 40, coupling 1, valve 1, a few inches of 1-1/2 in pipe; 2 in pipe is cut out of the arm and has no price.
    assert!((42.0..43.0).contains(&price), "{cost}");
    assert!((points - 10.5 - price / 4.0).abs() < 0.1, "{cost}");
    let faulty = folder.join("faulty.csv");
    std::fs::write(&faulty, "item,material,unit,price\n2 elbowish,pvc,each,1\n").unwrap();
    let told = truefall(&["--prices", faulty.to_str().unwrap()], &scene("re_vent.ron"));
    assert_eq!(told.status.code(), Some(2));
    assert!(text(&told.stderr).contains("elbowish"), "{}", text(&told.stderr));
    std::fs::remove_dir_all(&folder).unwrap();
}
