//! What people read, held fast: the whole text of one finding a rule, and the list of findings of whole houses.
//!
//! `INSTA_UPDATE=always cargo test -p truefall-tests --test snapshots` writes them anew; with `CI` set nothing is written.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use truefall_check::rules::ALL;
use truefall_check::{Finding, Limit, Source};
use truefall_tests::expect::as_line;
use truefall_tests::scene::{Scene, scenes};

const HOUSES: [&str; 2] = ["one_bath", "bungalow"];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("snapshots")
}

fn held(name: &str, what: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(folder());
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_description(what);
    settings.bind(|| insta::assert_snapshot!(name, text));
}

#[test]
fn each_rule_says_what_it_said() {
    for rule in ALL {
        let bad = scenes(&format!("rules/{}", rule.id))
            .into_iter()
            .find(Scene::is_bad)
            .expect("it has a bad scene");
        let findings = bad.findings().expect("it is a job");
        let texts: Vec<String> = findings.iter().filter(|f| f.rule == rule.id).map(whole).collect();
        held(rule.id, &format!("scenes/{}", bad.name), &texts.join("\n"));
    }
}

#[test]
fn whole_houses_give_the_findings_they_gave() {
    for house in HOUSES {
        let scene = Scene::load(&format!("{house}.ron"));
        let findings = scene.findings().unwrap_or_else(|faults| panic!("{faults}"));
        let lines: Vec<String> = findings.iter().map(as_line).collect();
        held(&format!("house_{house}"), &format!("scenes/{}", scene.name), &lines.join("\n"));
    }
}

#[test]
fn no_snapshot_lies_about_that_no_test_reads() {
    let mut read: Vec<String> = ALL.iter().map(|r| format!("{}.snap", r.id)).collect();
    read.extend(HOUSES.iter().map(|h| format!("house_{h}.snap")));
    read.sort();
    let mut lie: Vec<String> = std::fs::read_dir(folder())
        .expect("snapshots are here")
        .filter_map(|entry| entry.expect("an entry can be read").file_name().into_string().ok())
        .collect();
    lie.sort();
    assert_eq!(lie, read);
}

/// Everything a finding says, laid out for this test alone.
fn whole(finding: &Finding) -> String {
    let mut out = format!("{finding}\n");
    let mut line = |name: &str, text: &str| {
        let _ = writeln!(out, "  {name:<9}{text}");
    };
    line("where", &as_line(finding));
    if let (Some(measured), Some(limit), Some(margin)) = (finding.measured, finding.limit, finding.margin) {
        let limit = match limit {
            Limit::AtLeast(least) => format!("at least {least:.4}"),
            Limit::AtMost(most) => format!("at most {most:.4}"),
            Limit::Between(least, most) => format!("{least:.4} to {most:.4}"),
        };
        line("measured", &format!("{measured:.4}, {limit} {}, margin {margin:.4}", finding.unit));
    }
    for text in &finding.sum {
        line("sum", text);
    }
    match &finding.source {
        Source::Code { code, edition, section, status, .. } => {
            line("source", &format!("{code} {edition} {section}, {status}"));
        }
        Source::House { status, reason, .. } => line("source", &format!("our own, {status}: {reason}")),
    }
    if let Some(accepted) = &finding.accepted {
        line("accepted", accepted);
    }
    line("help", finding.help.as_deref().unwrap_or("none"));
    out
}
