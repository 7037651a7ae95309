//! The lists for a spreadsheet, and the price file, of a job whose names are sums: none is run, none is lost, numbers stay numbers.
//!
//! What a spreadsheet runs: a cell that begins with `=`, `+`, `-` or `@`, or with white space and one of them (common practice of
//! those who attack by such files). Cells as RFC 4180 has them, read by the `csv` crate.

#![expect(clippy::unwrap_used, reason = "what these helpers make is what the tests are about")]

use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::units::{Fineness, Length};
use truefall_packet::drawing::Subject;
use truefall_packet::say::Say;
use truefall_packet::{Plans, PriceForm, csv, examine, price_file};
use truefall_plan::prices::{PriceList, read};
use truefall_plan::stock::StockOptions;

/// The small bath with every name of a run, wall, floor, fitting and fixture a sum.
fn hostile() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../scenes/one_bath.ron");
    let mut text = std::fs::read_to_string(path).unwrap();
    for (name, sum) in [
        ("S1", "=1+1"),
        ("closet arm", "+SUM(A1:A9)"),
        ("lav arm", "-2+3, \\\"x\\\""),
        ("T1", "@NOW()"),
        ("T2", "=HYPERLINK(\\\"http://x\\\")"),
        ("B1", "-1"),
        ("B2", "+cmd|' /C calc'!A0"),
        ("F1", "\u{ff1d}1+1"),
        ("wet", "=wet"),
        ("end", "@end"),
        ("first", "-first"),
    ] {
        text = text.replace(&format!("\"{name}\""), &format!("\"{sum}\""));
    }
    // A height names its floor within a text.
    text.replace(" first rough", " -first rough").replace("member: \"wet", "member: \"=wet")
}

fn rows(text: &str) -> Vec<Vec<String>> {
    let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    // The reader refuses rows that are not all as long as the first.
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

fn is_run(cell: &str) -> bool {
    let begins = cell.trim_start().starts_with(['=', '+', '-', '@', '\u{ff1d}']);
    begins && !cell.parse::<f64>().is_ok_and(f64::is_finite)
}

fn lists(text: &str) -> [(&'static str, String); 4] {
    let file = JobFile::read("hostile.ron", text).unwrap_or_else(|e| panic!("{e}"));
    let examined = examine(&file.job, Catalog::builtin(), Placement::ALL).unwrap_or_else(|e| panic!("{e:?}"));
    let subject = Subject::of(
        &file.job,
        &examined,
        Catalog::builtin(),
        Say { fineness: Fineness::Sixteenth, metric: false },
    );
    let lengths = [120.0, 240.0].map(Length::inches).to_vec();
    let options = StockOptions { lengths, kerf: Length::inches(0.125), keep: Length::inches(12.0) };
    let plans = Plans::of(&subject, options).unwrap();
    let prices = price_file(&plans.bill, &[], &PriceList::default(), PriceForm::Csv).unwrap();
    assert_eq!(read("prices.csv", &prices).unwrap(), PriceList::default());
    assert!(rows(&prices).iter().flatten().all(|cell| !is_run(cell)), "{prices}");
    [
        ("cuts.csv", csv::cuts(&plans)),
        ("holes.csv", csv::holes(&plans)),
        ("floor-holes.csv", csv::floor_holes(&plans)),
        ("materials.csv", csv::materials(&plans)),
    ]
}

#[test]
fn no_name_is_run_and_none_is_lost() {
    let lists = lists(&hostile());
    let mut marked = 0;
    for (name, text) in &lists {
        for cell in rows(text).iter().flatten() {
            assert!(!is_run(cell), "{name}: {cell}");
            marked += usize::from(cell.starts_with('\''));
        }
    }
    assert!(marked > 20, "{marked}");
    let cuts = rows(&lists[0].1);
    for shown in [
        "'=1+1",
        "'+SUM(A1:A9)",
        "'-2+3, \"x\"",
        "'@NOW()",
        "'=HYPERLINK(\"http://x\")",
        "'+cmd|' /C calc'!A0",
    ] {
        assert!(cuts.iter().flatten().any(|cell| cell == shown), "{shown}");
    }
    // A name that is a number is no sum.
    assert!(cuts.iter().flatten().any(|cell| cell == "-1"));
}

// Every cell of a column whose head ends in `_in` is a number, or empty; the two lists say the same but for the names.
#[test]
fn numbers_stay_numbers() {
    let plain =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../scenes/one_bath.ron")).unwrap();
    for ((name, hostile), (_, plain)) in lists(&hostile()).iter().zip(&lists(&plain)) {
        let (hostile, plain) = (rows(hostile), rows(plain));
        assert_eq!((hostile.len(), &hostile[0]), (plain.len(), &plain[0]), "{name}");
        assert!(hostile.len() > 1, "{name}");
        for (h, p) in hostile.iter().zip(&plain).skip(1) {
            for (head, (h, p)) in plain[0].iter().zip(h.iter().zip(p)) {
                if head.ends_with("_in") || head == "count" || head == "number" {
                    assert_eq!(h, p, "{name} {head}");
                    assert!(
                        h.is_empty() || h.starts_with('F') || h.parse::<f64>().is_ok(),
                        "{name} {head}: {h}"
                    );
                }
            }
        }
    }
}

// As spreadsheets save it: a mark at the start of the file, quotes round all, other ends of lines.
#[test]
fn prices_saved_by_a_spreadsheet_are_read_back() {
    let saved =
        "\u{feff}\"item\",\"material\",\"unit\",\"price\"\r\n\"3 pipe\",\"pvc\",\"10' 0\"\"\",\"12.50\"\r\n";
    let plain = "item,material,unit,price\n3 pipe,pvc,10' 0,12.5\n";
    assert_eq!(read("saved.csv", saved).unwrap(), read("plain.csv", plain).unwrap());
}
