//! Holds the hand-written pages to the program: paths exist, jobs read and pass, printed output is what is printed, every
//! field of the job file is told.
//!
//! Output shown in a page stands under `<!-- printed by check FILE: START -->` and is the paragraph of the report that begins
//! so. `TRUEFALL_BLESS=1 cargo test -p truefall-tests --test docs` writes it anew.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use truefall_check::Verdict;
use truefall_model::catalog::Catalog;
use truefall_model::document::{Kind, Node, parse};
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::units::Fineness;
use truefall_packet::{Examined, Look, Style, examine, text};

const JOB_FILE: &str = "docs/job-file.md";
const TOP: [&str; 6] = ["crates/", "assets/", "tests/", "scenes/", "docs/", ".ci/"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// The hand-written pages; what is generated is held elsewhere.
fn pages() -> Vec<String> {
    let mut pages: Vec<String> = ["README.md", "DEVELOPERS.md"].map(str::to_owned).to_vec();
    for folder in ["docs", "docs/decisions"] {
        for entry in std::fs::read_dir(root().join(folder)).expect("the pages are there") {
            let name = entry.expect("readable").file_name();
            let name = name.to_str().expect("a plain name");
            if name.ends_with(".md") {
                pages.push(format!("{folder}/{name}"));
            }
        }
    }
    pages.sort();
    pages
}

/// Blocks fenced as `kind`.
fn blocks(page: &str, kind: &str) -> Vec<String> {
    let mut rest = page;
    let mut found = Vec::new();
    let open = format!("```{kind}\n");
    while let Some(at) = rest.find(&open) {
        let body = &rest[at + open.len()..];
        let end = body.find("\n```").expect("a block is closed");
        found.push(body[..end].to_owned());
        rest = &body[end..];
    }
    found
}

#[test]
fn every_path_a_page_names_is_there() {
    let mut seen = BTreeSet::new();
    for page in pages() {
        let text = read(&page);
        let fenced = blocks(&text, "sh").join("\n");
        let quoted = text.split('`').skip(1).step_by(2);
        for word in quoted.chain(fenced.split_whitespace()) {
            let plain = word.chars().all(|c| c.is_ascii_alphanumeric() || "_-./*".contains(c));
            let at_root = !word.contains('/') && (word.ends_with(".md") || word.ends_with(".toml"));
            if !plain || !(at_root || TOP.iter().any(|t| word.starts_with(t))) {
                continue;
            }
            seen.insert(word.to_owned());
            match word.split_once('*') {
                None => assert!(root().join(word).exists(), "{page} names {word}, which is not there"),
                Some((folder, ending)) => {
                    let mut files = std::fs::read_dir(root().join(folder))
                        .unwrap_or_else(|e| panic!("{page}: {word}: {e}"));
                    let ends = |f: &std::fs::DirEntry| f.file_name().to_string_lossy().ends_with(ending);
                    assert!(
                        files.any(|f| f.is_ok_and(|f| ends(&f))),
                        "{page} names {word}, and no file is called so"
                    );
                }
            }
        }
    }
    assert!(seen.len() > 60, "the pages name files: {seen:?}");
}

fn whole_job() -> Job {
    let page = read(JOB_FILE);
    let whole: Vec<String> = blocks(&page, "ron").into_iter().filter(|b| is_whole(b)).collect();
    assert_eq!(whole.len(), 1, "{JOB_FILE} has one whole job");
    JobFile::read(JOB_FILE, &whole[0]).unwrap_or_else(|faults| panic!("{faults}")).job
}

fn is_whole(block: &str) -> bool {
    block.lines().find(|l| !l.starts_with("//")).is_some_and(|l| l == "Job(")
}

fn examined(job: &Job) -> Examined {
    let both = [Placement::Drawn, Placement::Found];
    examine(job, Catalog::builtin(), &both).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[test]
fn the_worked_house_passes_with_its_correction_and_not_without() {
    let mut job = whole_job();
    let red = |job: &Job| examined(job).findings.iter().filter(|f| f.verdict == Verdict::RedTag).count();
    assert_eq!(red(&job), 0);
    job.stacks[0].corrections.clear();
    assert!(red(&job) > 0, "the lean of the worked house matters");
}

#[test]
fn what_a_page_shows_as_printed_is_printed() {
    let bless = std::env::var_os("TRUEFALL_BLESS").is_some();
    for (name, least) in [("README.md", 3), (JOB_FILE, 2)] {
        let page = read(name);
        let parts: Vec<&str> = page.split("<!-- printed by check ").collect();
        assert!(parts.len() > least, "{name} shows what is printed");
        let mut out = parts[0].to_owned();
        for part in &parts[1..] {
            let (key, rest) = part.split_once(" -->\n```text\n").expect("a text block stands under the mark");
            let (_, after) = rest.split_once("```").expect("the block is closed");
            let (what, start) = key.split_once(": ").expect("what is checked, and how the paragraph begins");
            let printed = paragraph(&report(what), start);
            out.push_str(&format!("<!-- printed by check {key} -->\n```text\n{printed}```{after}"));
        }
        if bless {
            std::fs::write(root().join(name), &out).expect("the page can be written");
        }
        assert!(
            bless || out == page,
            "{name} is out of date: TRUEFALL_BLESS=1 cargo test -p truefall-tests --test docs"
        );
    }
}

fn report(what: &str) -> String {
    let job = match what {
        "the worked house" => whole_job(),
        "the worked house without its correction" => {
            let mut job = whole_job();
            job.stacks[0].corrections.clear();
            job
        }
        scene => JobFile::load(&root().join(scene)).unwrap_or_else(|e| panic!("{e}")).job,
    };
    text(&examined(&job).report, Look { style: Style::Plain, fineness: Fineness::Sixteenth })
}

/// The paragraph that begins so, whatever its line breaks; a heading right above it is left out, and so is its indent.
fn paragraph(report: &str, start: &str) -> String {
    let lines: Vec<&str> = report.lines().collect();
    let first = (0..lines.len())
        .find(|i| {
            let end = lines[*i..].iter().position(|l| l.is_empty()).map_or(lines.len(), |n| i + n);
            let words: Vec<&str> = lines[*i..end].iter().flat_map(|l| l.split_whitespace()).collect();
            words.join(" ").starts_with(start)
        })
        .unwrap_or_else(|| panic!("no paragraph of the report begins \"{start}\""));
    let indent = lines[first].len() - lines[first].trim_start().len();
    let body = lines[first..].iter().take_while(|l| !l.is_empty());
    body.map(|l| format!("{}\n", l.get(indent..).unwrap_or(l).trim_end())).collect()
}

#[test]
fn the_faults_shown_are_those_of_the_file_with_slips() {
    let path = "crates/cli/tests/data/slips.ron";
    let faults = JobFile::read(path, &read(path)).expect_err("it has slips in it");
    let words = |t: &str| t.replace("\n  | ", " ").split_whitespace().collect::<Vec<_>>().join(" ");
    let page = words(&read(JOB_FILE));
    assert_eq!(faults.faults.len(), 3);
    for fault in &faults.faults {
        let (line, column) = faults.line_column(fault.span.start);
        for shown in [format!("{path}:{line}:{column}"), format!("{}: {}", fault.path, fault.message)] {
            assert!(page.contains(&words(&shown)), "{JOB_FILE} shows {shown}");
        }
    }
}

/// A record of the job file, or a variant that has fields: each field and whether it must be given.
type Fields = BTreeMap<String, bool>;

/// What the sources of the job file declare: records and variants by name (two may share one), and the bare words.
fn declared() -> (BTreeMap<String, Vec<Fields>>, BTreeSet<String>) {
    let mut records = BTreeMap::<String, Vec<Fields>>::new();
    let (mut choices, mut types) = (BTreeMap::<String, BTreeSet<String>>::new(), BTreeSet::new());
    let mut files = Vec::new();
    for folder in ["crates/model/src/job", "crates/model/src/framing"] {
        for entry in std::fs::read_dir(root().join(folder)).expect("the sources are there") {
            files.push((entry.expect("readable").path(), true));
        }
    }
    files.extend(
        ["material.rs", "joint.rs"].map(|f| (root().join("crates/model/src/catalog").join(f), false)),
    );
    for (path, all) in files.into_iter().filter(|(p, _)| p.is_file()) {
        let source = std::fs::read_to_string(&path).expect("readable");
        // Which macro the line stands in, and the record whose fields are being read.
        let (mut within, mut current) = ("", None::<String>);
        for line in source.lines() {
            let trimmed = line.trim();
            if let Some(found) = ["record! {", "choice! {", "variants! {"].into_iter().find(|m| line == *m) {
                (within, current) = (found, None);
            } else if line == "}" {
                within = "";
            }
            if trimmed.starts_with("//") || trimmed.starts_with("#[") || within.is_empty() {
                continue;
            }
            if within == "choice! {" {
                if let Some(name) = trimmed.strip_prefix("pub enum ") {
                    current = Some(name.trim_end_matches([' ', '{']).to_owned());
                } else if let (Some(name), Some((_, word))) = (&current, trimmed.split_once(" = \"")) {
                    let word = word.trim_end_matches(['"', ',']).to_owned();
                    choices.entry(name.clone()).or_default().insert(word);
                }
                continue;
            }
            if !all {
                continue;
            }
            let head = trimmed.strip_suffix('{').or(trimmed.strip_suffix("{},")).unwrap_or("=");
            let head = head.trim().trim_start_matches("pub struct ");
            if head.chars().all(char::is_alphanumeric) {
                records.entry(head.to_owned()).or_default().push(Fields::new());
                current = Some(head.to_owned());
            } else if let (Some(name), Some((field, rest))) = (&current, trimmed.split_once(": ")) {
                let optional =
                    rest.contains(" = ") || rest.starts_with("Option<") || rest.starts_with("Vec<");
                let last = records.get_mut(name).and_then(|all| all.last_mut()).expect("just put in");
                last.insert(field.to_owned(), !optional);
                types.extend(rest.split(|c: char| !c.is_alphanumeric()).map(str::to_owned));
            }
        }
    }
    // A choice that no field holds is not written in a job.
    let words =
        choices.into_iter().filter(|(name, _)| types.contains(name)).flat_map(|(_, words)| words).collect();
    (records, words)
}

#[test]
fn every_field_of_the_job_file_is_told_and_nothing_else() {
    let page = read(JOB_FILE);
    let sections: Vec<(&str, &str)> =
        page.split("\n#").skip(1).map(|s| s.split_once('\n').unwrap_or((s, ""))).collect();
    let (records, words) = declared();
    for known in ["Job", "Fit", "Wall", "House", "IronHub", "InWall", "Plate", "Valve"] {
        assert!(records.contains_key(known), "the sources were read: {known}");
    }
    for (name, alternatives) in &records {
        let own: Vec<&str> = sections
            .iter()
            .filter(|(h, _)| h.contains(&format!("`{name}`")))
            .map(|(_, body)| *body)
            .collect();
        assert!(!own.is_empty(), "{JOB_FILE} has a section on `{name}`");
        for (field, needed) in alternatives.iter().flatten() {
            let rows =
                || own.iter().flat_map(|b| b.lines()).filter(|l| l.starts_with(&format!("| `{field}` |")));
            assert!(rows().next().is_some(), "{JOB_FILE} tells `{field}` in the section on `{name}`");
            let says = rows().any(|r| r.ends_with("| needed |") == *needed);
            assert!(says, "{JOB_FILE} says rightly whether `{field}` of `{name}` is needed: {needed}");
        }
    }
    for (heading, body) in &sections {
        let names = heading.split('`').skip(1).step_by(2);
        let known: BTreeSet<&String> =
            names.filter_map(|n| records.get(n)).flatten().flat_map(|fields| fields.keys()).collect();
        for row in body.lines().filter_map(|l| l.strip_prefix("| `")).filter(|_| !known.is_empty()) {
            let field = row.split('`').next().unwrap_or_default().to_owned();
            assert!(known.contains(&field), "{JOB_FILE} tells `{field}` under {heading}, and there is none");
        }
    }
    assert!(words.len() > 40, "the sources were read: {words:?}");
    for word in &words {
        assert!(page.contains(&format!("`{word}`")), "{JOB_FILE} tells the word `{word}`");
    }
}

#[test]
fn pieces_of_a_job_shown_are_written_with_fields_that_are_there() {
    let (records, _) = declared();
    let mut seen = 0;
    for block in blocks(&read(JOB_FILE), "ron") {
        let wrapped = if is_whole(&block) { block } else { format!("(\n{block}\n)") };
        let node = parse(&wrapped).unwrap_or_else(|fault| panic!("{fault:?} in\n{wrapped}"));
        seen += known_fields(&node, &records);
    }
    assert!(seen > 40, "the page shows records: {seen}");
}

/// Holds each record in a node to those declared; how many there were.
fn known_fields(node: &Node, records: &BTreeMap<String, Vec<Fields>>) -> usize {
    match &node.kind {
        Kind::Record(name, fields) => {
            if let Some(name) = name {
                let alternatives = records.get(name).unwrap_or_else(|| panic!("there is no {name}(…)"));
                let fits = |known: &Fields| fields.iter().all(|(f, _, _)| known.contains_key(f));
                let shown: Vec<&String> = fields.iter().map(|(f, _, _)| f).collect();
                assert!(alternatives.iter().any(fits), "{name} has no such fields: {shown:?}");
            }
            usize::from(name.is_some())
                + fields.iter().map(|(_, _, n)| known_fields(n, records)).sum::<usize>()
        }
        Kind::Tuple(_, items) | Kind::List(items) => items.iter().map(|n| known_fields(n, records)).sum(),
        _ => 0,
    }
}
