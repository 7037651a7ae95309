//! Drawings over all scenes: no text lies on another or off the sheet, no leader through a text, names are escaped, and the
//! figures drawn are those of the JSON.

use truefall_model::catalog::Catalog;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::units::{Fineness, Length};
use truefall_packet::drawing::paper::Paper;
use truefall_packet::drawing::{self, Drawn, Subject};
use truefall_packet::packet::packet;
use truefall_packet::say::Say;
use truefall_packet::{Asked, Examined, Plans, examine_with};
use truefall_plan::Site;
use truefall_plan::holes::HoleSchedule;
use truefall_plan::stock::StockOptions;

const SAY: Say = Say { fineness: Fineness::Sixteenth, metric: false };

fn examined(job: &Job) -> Option<Examined> {
    let asked = Asked { placements: &[Placement::Drawn, Placement::Found], passes: true, fixes: false };
    examine_with(job, Catalog::builtin(), &asked).ok()
}

fn scene(path: &std::path::Path) -> Option<Job> {
    truefall_model::job::file::JobFile::load(path).ok().map(|file| file.job)
}

fn jobs(folder: &std::path::Path, found: &mut Vec<std::path::PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("scenes can be read") {
        let path = entry.expect("an entry can be read").path();
        if path.is_dir() {
            jobs(&path, found);
        } else if path.extension().is_some_and(|e| e == "ron") {
            found.push(path);
        }
    }
}

#[track_caller]
fn texts_have_room(of: &str, drawn: &Drawn) {
    let view = drawn.view();
    for (i, one) in drawn.texts().iter().enumerate() {
        for other in &drawn.texts()[i + 1..] {
            assert!(
                !one.area.meets(&other.area),
                "{of}, {}: `{}` lies on `{}`",
                drawn.title(),
                one.text,
                other.text
            );
        }
        assert!(
            one.area.least.x >= view.least.x
                && one.area.most.x <= view.most.x
                && one.area.least.y >= view.least.y
                && one.area.most.y <= view.most.y,
            "{of}, {}: `{}` is off the sheet",
            drawn.title(),
            one.text
        );
    }
}

/// Texts on pipe, holes, floor lines, arrows or leaders: none. A leader that passes through another text is counted.
#[track_caller]
fn texts_lie_on_no_line(of: &str, drawn: &Drawn) -> usize {
    let mut through = 0;
    for text in drawn.texts() {
        assert!(!drawn.bars().meet(&text.area), "{of}, {}: `{}` lies on pipe", drawn.title(), text.text);
        // A text's own leader ends on its edge.
        let inside = text.area.grown(-0.01);
        through += drawn.leaders().iter().filter(|(a, b)| inside.is_crossed(*a, *b)).count();
    }
    through
}

#[test]
fn no_text_lies_on_another_or_on_a_line_in_any_scene() {
    let mut paths = Vec::new();
    jobs(std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../scenes")), &mut paths);
    paths.sort();
    let (mut seen, mut texts, mut through) = (0, 0, 0);
    let mut small: Vec<String> = Vec::new();
    for path in paths {
        let Some(job) = scene(&path) else { continue };
        let Some(examined) = examined(&job) else { continue };
        let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
        for (_, drawn) in drawing::all(&subject, &holes(&subject)) {
            texts_have_room(&path.display().to_string(), &drawn);
            // Smaller than 7 points is not read on a stud in poor light (common practice: 1/10 in letters on drawings).
            let paper = Paper::of(drawn.size()).text(drawn.size());
            if paper < 7.0 {
                small.push(format!(
                    "{}, {}: {paper:.1} pt {:?}",
                    path.display(),
                    drawn.title(),
                    drawn.size()
                ));
            }
            through += texts_lie_on_no_line(&path.display().to_string(), &drawn);
            texts += drawn.texts().len();
            seen += 1;
        }
    }
    // Where many parts lie at one point a thin grey line may pass behind a text with its halo; one in forty is bearable.
    assert!(through * 40 <= texts, "{through} leaders pass through {texts} texts");
    // Five jobs made for a limit of a rule reach 150 ft; they are printed smaller.
    assert!(small.len() * 300 <= seen, "{} of {seen} drawings: {}", small.len(), small.join("\n"));
    assert!(seen > 300 && texts > 3000, "{seen} drawings with {texts} texts");
}

fn holes(subject: &Subject<'_>) -> HoleSchedule {
    let of = subject.examined;
    HoleSchedule::of(&Site::examined(
        (subject.job, subject.catalog),
        of.profile.clone(),
        of.rough_in.clone(),
        of.facts.clone(),
        of.findings.clone(),
    ))
}

fn demo() -> Job {
    scene(std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../scenes/bungalow.ron")))
        .expect("the demo reads")
}

// The cut lengths on the drawing of the stack, read back as one reads a tape, against the JSON of `check`.
#[test]
fn cuts_on_the_stack_are_those_of_the_json() {
    let job = demo();
    let examined = examined(&job).expect("the demo places");
    let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
    let report: serde_json::Value =
        serde_json::from_str(&truefall_packet::json(&examined.report).expect("JSON")).expect("JSON reads");
    for name in ["main", "laundry"] {
        let drawings = drawing::all(&subject, &holes(&subject));
        let (_, drawn) =
            drawings.iter().find(|(n, _)| *n == format!("stack-{name}")).expect("its stack is drawn");
        let read =
            |text: &str| text.strip_prefix("cut ").map(|t| Length::parse(t).expect("a length").to_inches());
        let mut drawn: Vec<f64> = drawn.texts().iter().filter_map(|t| read(&t.text)).collect();
        let rows = report["stack"].as_array().expect("rows");
        let mut told: Vec<f64> = rows
            .iter()
            .filter(|r| r["stack"] == name && r["placement"] == "found")
            .filter_map(|r| r["cut"].as_f64())
            .collect();
        drawn.sort_by(f64::total_cmp);
        told.sort_by(f64::total_cmp);
        assert_eq!(drawn.len(), told.len());
        assert!(!told.is_empty());
        for (a, b) in drawn.iter().zip(&told) {
            assert!((a - b).abs() <= 1.0 / 32.0 + 1e-9, "{a} drawn, {b} in the JSON");
        }
    }
}

#[test]
fn names_that_are_tags_stay_names() {
    let hostile = "<script>alert(1)</script>\"'&</svg>";
    let mut job = demo();
    job.name = hostile.to_owned();
    job.note = Some(hostile.to_owned());
    for fixture in &mut job.fixtures {
        fixture.note = Some(hostile.to_owned());
    }
    job.stacks[0].name = Label::new(hostile);
    let examined = examined(&job).expect("the demo places under any name");
    let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
    let mut pages = 0;
    let options = StockOptions {
        lengths: vec![Length::inches(120.0)],
        kerf: Length::inches(0.125),
        keep: Length::inches(12.0),
    };
    let plans = Plans::of(&subject, options).expect("it is placed already");
    for file in packet(&subject, &plans, &[]).expect("a packet") {
        assert!(file.name.bytes().all(|b| b.is_ascii_alphanumeric() || b"-./".contains(&b)), "{}", file.name);
        if file.name.ends_with(".html") || file.name.ends_with(".svg") {
            let text = String::from_utf8(file.bytes).expect("text");
            assert!(!text.contains("<script>alert"), "{}", file.name);
            // The walk has a script of ours; nothing else has one.
            if file.name == "walk.html" {
                continue;
            }
            assert!(
                !text.contains("<script")
                    && !text.contains("</svg>\"")
                    && !text.contains("http://") | text.contains("xmlns=\"http://www.w3.org/2000/svg\""),
                "{}",
                file.name
            );
            pages += 1;
        }
    }
    assert!(pages > 20);
}
