//! Figures on drawings and pages, read back as a person reads them, against the JSON of the same job: holes with their
//! distances, heights of fittings, sizes and grades on the isometric, rings of closets.

use serde_json::Value;
use std::path::Path;
use truefall_model::catalog::Catalog;
use truefall_model::job::{Job, Placement};
use truefall_model::units::{Fineness, Length};
use truefall_packet::drawing::{self, Drawn, Subject};
use truefall_packet::page;
use truefall_packet::say::Say;
use truefall_packet::{Asked, Plans, examine_with};
use truefall_plan::stock::StockOptions;

/// The house of the demo, a bath by itself, a job with several holes in a row, and one that is cut as found.
const SCENES: [&str; 3] =
    ["bungalow.ron", "one_bath.ron", "rules/stud-hole-beside-notch/ok_in_two_studs.ron"];

/// Half a sixteenth: what is lost by printing.
const HALF_MARK: f64 = 1.0 / 32.0 + 1e-9;

struct Seen {
    report: Value,
    holes: Value,
    drawings: Vec<(String, Drawn)>,
    holes_page: String,
    built: &'static str,
}

fn seen(name: &str, cut_on: Option<Placement>, metric: bool) -> Seen {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes").join(name);
    let mut job: Job = truefall_model::job::file::JobFile::load(&path).expect("the scene reads").job;
    if let Some(placement) = cut_on {
        job.cut_on = placement;
    }
    let asked = Asked { placements: &[Placement::Drawn, Placement::Found], passes: false, fixes: false };
    let examined = examine_with(&job, Catalog::builtin(), &asked).expect("it places");
    let subject =
        Subject::of(&job, &examined, Catalog::builtin(), Say { fineness: Fineness::Sixteenth, metric });
    let options = StockOptions {
        lengths: vec![Length::inches(120.0)],
        kerf: Length::inches(0.125),
        keep: Length::inches(12.0),
    };
    let plans = Plans::of(&subject, options).expect("it is placed already");
    let drawings = drawing::all(&subject, &plans.holes);
    let sections = page::sections(&subject, &plans, &drawings, &[]);
    let holes_page = sections.into_iter().find(|s| s.name == "holes").expect("a schedule").body.into_text();
    let report =
        serde_json::from_str(&truefall_packet::json(&examined.report).expect("JSON")).expect("it reads");
    let holes = truefall_packet::json::holes::holes(&plans.holes);
    Seen { report, holes, drawings, holes_page, built: job.cut_on.word() }
}

fn all() -> impl Iterator<Item = Seen> {
    let found = std::iter::once(seen("bungalow.ron", Some(Placement::Found), false));
    SCENES.iter().map(|s| seen(s, None, false)).chain(found)
}

fn length(text: &str) -> f64 {
    Length::parse(text).unwrap_or_else(|_| panic!("`{text}` is no length")).to_inches()
}

fn rows<'v>(value: &'v Value, field: &str) -> impl Iterator<Item = &'v Value> {
    value[field].as_array().expect("rows").iter()
}

#[test]
fn holes_on_walls_are_those_of_the_schedule() {
    let mut read = 0;
    for seen in all() {
        for (_, drawn) in seen.drawings.iter().filter(|(name, _)| name.starts_with("wall-")) {
            for text in drawn.texts().iter().filter(|t| t.text.starts_with("no. ")) {
                let (numbers, told) =
                    text.text["no. ".len()..].split_once(": ").expect("numbers and what is told");
                let (hole, at) = told.split_once(", ").expect("a hole and where");
                let hole = length(hole.split_once(' ').expect("a word and a length").1);
                let at =
                    length(at.split(" up").next().and_then(|a| a.split(" along").next()).expect("a place"));
                for number in numbers.split(", ") {
                    let number: u64 = number.parse().expect("a number");
                    let row =
                        rows(&seen.holes, "members").find(|r| r["number"] == number).expect("it is listed");
                    assert!(
                        (row["hole"].as_f64().expect("a bit") - hole).abs() <= HALF_MARK,
                        "{}",
                        text.text
                    );
                    assert!((row["at"].as_f64().expect("a place") - at).abs() <= HALF_MARK, "{}", text.text);
                    read += 1;
                }
            }
        }
    }
    assert!(read > 40, "{read} holes read");
}

#[test]
fn heights_of_fittings_on_walls_and_stacks_are_those_of_the_json() {
    let mut read = 0;
    for seen in all() {
        let of_stack = |label: &str| {
            rows(&seen.report, "stack").find(|r| r["label"] == label && r["placement"] == seen.built)
        };
        for (name, drawn) in &seen.drawings {
            for text in drawn.texts() {
                // On a stack `T1: 3x3x2 tee · 5' 0" off first rough · clock …`; on a wall `T1  5' 0"`, off that wall's floor.
                let (label, height) = if name.starts_with("stack-") {
                    let Some((label, rest)) = text.text.split_once(": ") else { continue };
                    let Some(height) = rest.split(" \u{b7} ").find_map(|p| p.split_once(" off ")) else {
                        continue;
                    };
                    (label, height.0)
                } else if name.starts_with("wall-") {
                    let Some(pair) = text.text.split_once("  ") else { continue };
                    pair
                } else {
                    continue;
                };
                let Some(row) = of_stack(label) else { continue };
                let floor = drawn.texts().iter().find_map(|t| t.text.strip_suffix(" finished"));
                let same = name.starts_with("stack-") || row["floor"].as_str() == floor;
                let Some(rough) = row["rough"].as_f64().filter(|_| same) else { continue };
                assert!((rough - length(height)).abs() <= HALF_MARK, "{name}: `{}`, JSON {rough}", text.text);
                read += 1;
            }
        }
    }
    assert!(read > 40, "{read} heights read");
}

#[test]
fn sizes_and_grades_on_the_isometric_are_those_of_the_json() {
    let mut read = 0;
    for seen in all() {
        let (_, drawn) = &seen.drawings[0];
        let mut sizes: Vec<String> = Vec::new();
        let mut grades: Vec<f64> = Vec::new();
        for text in drawn.texts().iter().filter(|t| t.text.starts_with(|c: char| c.is_ascii_digit())) {
            let mut parts = text.text.split(" \u{b7} ");
            let size = parts.next().and_then(|p| p.strip_suffix(" in")).expect("a size");
            sizes.push(size.to_owned());
            let fall = parts.find_map(|p| p.strip_prefix("falls ")).and_then(|p| p.strip_suffix("/ft"));
            grades.extend(fall.map(|f| f.parse::<f64>().expect("a number")));
        }
        let legs = || {
            rows(&seen.report, "legs")
                .filter(|r| r["placement"] == seen.built && r["length"].as_f64().expect("a length") >= 0.5)
        };
        let mut told: Vec<String> = legs().map(|r| r["size"].as_str().expect("a size").to_owned()).collect();
        sizes.sort();
        told.sort();
        assert_eq!(sizes, told, "a size on every length");
        let mut open: Vec<f64> = legs().filter_map(|r| r["grade"].as_f64()).collect();
        for grade in &grades {
            let at = open.iter().position(|g| (g - grade).abs() <= 0.0005 + 1e-9);
            open.swap_remove(at.unwrap_or_else(|| panic!("no leg falls {grade}: {open:?}")));
        }
        read += grades.len();
    }
    assert!(read > 15, "{read} grades read");
}

#[test]
fn rings_of_closets_on_the_page_are_those_of_the_json() {
    let mut read = 0;
    for seen in all() {
        let mark = "data-of=\"underside over the subfloor\"";
        let mut cells: Vec<f64> = seen
            .holes_page
            .split(mark)
            .skip(1)
            .map(|rest| {
                let (_, after) =
                    rest.split_once("<span").and_then(|(_, r)| r.split_once('>')).expect("a cell");
                let text = after.split_once('<').expect("its end").0;
                length(&text.replace('\u{a0}', " ").replace("&quot;", "\"").replace("&#39;", "'"))
            })
            .collect();
        let mut told: Vec<f64> =
            rows(&seen.holes, "closets").map(|r| r["over_rough"].as_f64().expect("a height")).collect();
        cells.sort_by(f64::total_cmp);
        told.sort_by(f64::total_cmp);
        assert_eq!(cells.len(), told.len());
        assert!(cells.iter().zip(&told).all(|(a, b)| (a - b).abs() <= HALF_MARK), "{cells:?} {told:?}");
        read += cells.len();
    }
    assert!(read >= 3, "{read} rings read");
}

// Every figure with a foot or inch mark has its millimetres behind it, 25.4 to the inch (exact by the international yard and
// pound agreement of 1959).
#[test]
fn millimetres_stand_beside_inches_in_every_drawing() {
    let mut read = 0;
    for (name, drawn) in &seen("bungalow.ron", None, true).drawings {
        for text in drawn.texts().iter().filter(|t| t.text.contains('"')) {
            let (inches, mm) = (text.text.matches('"').count(), text.text.matches(" mm)").count());
            assert_eq!(inches, mm, "{name}: `{}`", text.text);
            read += mm;
        }
    }
    assert!(read > 80, "{read} figures");
}
