//! A plan written into the user's file: it reads back as planned, no remark is lost, and what the plan leaves alone is left
//! alone to the byte.

use super::strategies::{Named, corpus, edited_text};
use proptest::prelude::*;
use truefall_model::document::{Kind, Node, Span, parse, remarks};
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::units::Length;

fn file(name: &str, text: &str) -> JobFile {
    JobFile::read(name, text).unwrap_or_else(|e| panic!("{e}"))
}

fn all_remarks(text: &str) -> Vec<&str> {
    let all = Span { start: 0, end: text.len() };
    remarks(text, all).into_iter().map(|s| &text[s.start..s.end]).collect()
}

/// The text with a remark behind each of some commas and opening brackets, numbered; every third to the end of its line.
fn salted(text: &str, every: usize) -> String {
    let skipped = skipped(text);
    let (mut out, mut seen) = (String::new(), 0);
    for (i, c) in text.char_indices() {
        out.push(c);
        if matches!(c, ',' | '(' | '[') && !skipped.iter().any(|s| (s.start..s.end).contains(&i)) {
            seen += 1;
            match seen % every {
                0 if seen % 3 == 0 => out.push_str(&format!(" // {seen} [odd, \"marks\n")),
                0 => out.push_str(&format!(" /* {seen}, (odd \"marks */")),
                _ => {}
            }
        }
    }
    out
}

/// Remarks and quoted texts.
fn skipped(text: &str) -> Vec<Span> {
    fn texts(node: &Node, out: &mut Vec<Span>) {
        match &node.kind {
            Kind::Text(_) => out.push(node.span),
            Kind::List(items) | Kind::Tuple(_, items) => items.iter().for_each(|n| texts(n, out)),
            Kind::Record(_, fields) => fields.iter().for_each(|(_, _, n)| texts(n, out)),
            Kind::Map(items) => {
                items.iter().for_each(|(k, n)| [k, n].into_iter().for_each(|n| texts(n, out)))
            }
            _ => {}
        }
    }
    let mut out = remarks(text, Span { start: 0, end: text.len() });
    texts(&parse(text).expect("scenes are read"), &mut out);
    out
}

/// Where the list or value stands that a path of names leads to; list items are told by their `name`.
fn place(text: &str, path: &[&str]) -> Option<Span> {
    let mut node = parse(text).ok()?;
    for step in path {
        node = match node.kind {
            Kind::Record(_, fields) => fields.into_iter().find(|(n, ..)| n == step)?.2,
            Kind::List(items) => items.into_iter().find(|item| {
                let Kind::Record(_, fields) = &item.kind else { return false };
                fields.iter().any(|(n, _, v)| n == "name" && v.kind == Kind::Text((*step).to_owned()))
            })?,
            _ => return None,
        };
    }
    Some(node.span)
}

/// Everything outside of a stretch is as it was, and the job reads back.
fn only_within(file: &JobFile, job: &Job, span: Span) {
    let out = file.text_with(job);
    assert!(!out.coarse, "{}", file.name);
    let text = out.text;
    assert_eq!(text[..span.start], file.text[..span.start], "{}", file.name);
    assert!(text.ends_with(&file.text[span.end..]), "{}\n{text}", file.name);
    assert_eq!(self::file(&file.name, &text).job, *job, "{}", file.name);
}

fn shifted(job: &Job, run: &str, at: usize) -> Option<Job> {
    let mut job = job.clone();
    let label = truefall_model::label::Label::new(run);
    let mut fit = job.fits(&label)?.get(at)?.clone();
    fit.height.as_mut()?.off += Length::inches(0.3125);
    let change = Change::Replace { at, item: Box::new(fit) };
    Edit::Fit { run: label, change }.apply(&mut job).ok()?;
    Some(job)
}

#[test]
fn a_height_changed_in_any_scene_changes_that_height_alone() {
    let mut tried = 0;
    for Named { name, text, .. } in corpus() {
        for text in [text.clone(), salted(text, 2)] {
            let file = file(name, &text);
            let runs = file.job.stacks.iter().map(|s| (&s.name, "stacks", "up", &s.up));
            let all = runs.chain(file.job.branches.iter().map(|b| (&b.name, "branches", "along", &b.along)));
            for (run, list, up, fits) in all {
                for (at, fit) in fits.iter().enumerate() {
                    let Some(job) = shifted(&file.job, run.as_str(), at) else { continue };
                    let path = [list, run.as_str(), up, fit.name.as_str(), "height"];
                    let span = place(&text, &path).unwrap_or_else(|| panic!("{name}: {path:?}"));
                    only_within(&file, &job, span);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

#[test]
fn a_fitting_put_in_or_taken_out_changes_its_own_list_alone() {
    let mut tried = 0;
    for Named { name, text, .. } in corpus() {
        for text in [text.clone(), salted(text, 3)] {
            let file = file(name, &text);
            for stack in file.job.stacks.iter().filter(|s| !s.up.is_empty()) {
                let span = place(&text, &["stacks", stack.name.as_str(), "up"]).unwrap();
                let fit = truefall_model::job::pipes::Fit::plain("3x2 bushing", "BU \"9\"");
                for at in 0..=stack.up.len() {
                    for change in [Change::Insert { at, item: Box::new(fit.clone()) }, Change::Remove { at }]
                    {
                        let mut job = file.job.clone();
                        if (Edit::Fit { run: stack.name.clone(), change }).apply(&mut job).is_ok()
                            && job.stacks.iter().all(|s| !s.up.is_empty())
                        {
                            only_within(&file, &job, span);
                            tried += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

#[test]
fn a_field_that_was_not_written_is_put_in_and_taken_out_again() {
    for Named { name, text, job } in corpus().iter().filter(|s| s.job.cut_on == Placement::Drawn) {
        let file = file(name, text);
        let found = Job { cut_on: Placement::Found, ..job.clone() };
        let out = file.text_with(&found);
        let lines: Vec<&str> = out.text.lines().filter(|l| l.trim() != "cut_on: found,").collect();
        if !text.contains("cut_on") {
            assert_eq!(lines, text.lines().collect::<Vec<_>>(), "{name}");
            let back = self::file(name, &out.text).text_with(job);
            assert_eq!((back.text.as_str(), back.coarse), (text.as_str(), false), "{name}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn many_edits_written_into_a_text_read_back_and_lose_no_remark((scene, edits) in edited_text(), every in 1usize..5) {
        let text = salted(&scene.text, every);
        let file = file(&scene.name, &text);
        prop_assert_eq!(&file.job, &scene.job);
        let mut job = scene.job.clone();
        for edit in &edits {
            let _ = edit.apply(&mut job);
        }
        let out = file.text_with(&job);
        prop_assert!(!out.coarse, "{}", out.text);
        prop_assert_eq!(all_remarks(&out.text), all_remarks(&text), "{}", out.text);
        prop_assert_eq!(self::file(&scene.name, &out.text).job, job);
    }
}
