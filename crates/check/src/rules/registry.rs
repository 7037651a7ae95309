//! What must hold for every rule: its name, its place, its page, its figures.

use super::ALL;
use crate::code::Profile;
use crate::explain::{explain, rules_page};
use crate::rule::{Basis, Family};
use std::path::{Path, PathBuf};

const HEADINGS: [&str; 5] = ["What it checks", "Why", "Source", "Limits", "Example"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn ids_are_sorted_and_unique() {
    for pair in ALL.windows(2) {
        assert!(pair[0].id < pair[1].id, "{} before {}", pair[0].id, pair[1].id);
    }
}

#[test]
fn every_rule_stands_in_the_file_of_its_name() {
    for rule in ALL {
        let ending = format!("src/rules/{}/{}.rs", rule.family.folder(), rule.id.replace('-', "_"));
        assert!(rule.file.replace('\\', "/").ends_with(&ending), "{} stands in {}", rule.id, rule.file);
    }
}

#[test]
fn every_file_is_listed() {
    for family in Family::ALL {
        let folder = root().join("crates/check/src/rules").join(family.folder());
        for entry in std::fs::read_dir(&folder).expect("a folder for each family") {
            let path = entry.expect("readable").path();
            let text = std::fs::read_to_string(&path).expect("readable");
            let stem = path.file_stem().and_then(|s| s.to_str()).expect("a name").replace('_', "-");
            if text.contains("\nrule! {") {
                assert!(ALL.iter().any(|r| r.id == stem), "{} is not in ALL", path.display());
            }
        }
    }
}

#[test]
fn every_page_has_its_headings_in_order_and_none_is_empty() {
    for rule in ALL {
        let mut pages = Vec::new();
        for line in rule.doc.lines().map(str::trim) {
            match line.strip_prefix("# ") {
                Some(heading) => pages.push((heading, String::new())),
                None => pages.last_mut().expect("a heading comes first").1.push_str(line),
            }
        }
        let headings: Vec<&str> = pages.iter().map(|(h, _)| *h).collect();
        assert_eq!(headings, HEADINGS, "{}", rule.id);
        for (heading, text) in pages {
            assert!(text.len() > 8 && text.ends_with('.'), "{}: {heading}: {text:?}", rule.id);
        }
    }
}

#[test]
fn summaries_are_one_line_in_lower_case_without_full_stop() {
    for rule in ALL {
        let first = rule.summary.chars().next().expect("not empty");
        assert!(
            !first.is_uppercase() && !rule.summary.ends_with('.') && !rule.summary.contains('\n'),
            "{}",
            rule.id
        );
    }
}

fn has(profile: &Profile, key: &str) -> bool {
    let sized = format!("{key}.");
    profile.figures().iter().any(|f| f.key == key || f.key.starts_with(&sized))
}

fn profiles() -> Vec<Profile> {
    Profile::names().into_iter().map(|name| Profile::builtin(name).expect("named")).collect()
}

#[test]
fn every_figure_a_rule_reads_is_in_every_profile() {
    for profile in profiles() {
        for rule in ALL {
            for key in rule.figures {
                assert!(has(&profile, key), "{} has no `{key}`, which {} reads", profile.name(), rule.id);
            }
        }
    }
    for rule in ALL {
        for key in rule.finds {
            assert!(
                profiles().iter().any(|p| has(p, key)),
                "no profile has `{key}`, which {} finds",
                rule.id
            );
        }
        let cites = !rule.figures.is_empty() || !rule.finds.is_empty();
        assert!(rule.basis != Basis::Code || cites, "{} cites no figure", rule.id);
    }
}

// `figure` is for what every profile has, `find` for what some code lacks; both are declared by the rule that reads them.
#[test]
fn every_key_in_the_sources_is_in_the_profiles_and_declared() {
    let mut read = 0;
    for path in sources(&root().join("crates/check/src")) {
        let text = std::fs::read_to_string(&path).expect("readable");
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let is_rule = code.contains("\nrule! {");
        for (call, every) in [(".figure(\"", true), (".find(\"", false), (".for_size(\"", false)] {
            for key in code.split(call).skip(1).filter_map(|rest| rest.split('"').next()) {
                read += 1;
                let lack = profiles()
                    .iter()
                    .filter(|p| !has(p, key))
                    .map(|p| p.name().to_owned())
                    .collect::<Vec<_>>();
                assert!(!every || lack.is_empty(), "{}: `{key}` is not in {lack:?}", path.display());
                let base = key.split('.').next().unwrap_or(key);
                let declared = |k: &str| k == key || k == base;
                let stem = path.file_stem().and_then(|s| s.to_str()).expect("a name").replace('_', "-");
                if let Some(rule) = ALL.iter().find(|r| is_rule && r.id == stem) {
                    let keys = || rule.figures.iter().chain(rule.finds);
                    assert!(keys().any(|k| declared(k)), "{stem} reads `{key}` and does not declare it");
                }
            }
        }
    }
    assert!(read > 20, "only {read} keys found: the search is wrong");
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).expect("readable").map(|e| e.expect("readable").path());
    let (folders, files): (Vec<PathBuf>, Vec<PathBuf>) = entries.partition(|path| path.is_dir());
    let rust = files.into_iter().filter(|path| path.extension().is_some_and(|e| e == "rs"));
    rust.chain(folders.iter().flat_map(|folder| sources(folder))).collect()
}

#[test]
fn a_rule_is_explained_with_its_figures() {
    let page = explain("drain-too-flat", &profiles()).expect("there is such a rule");
    for part in HEADINGS {
        assert!(page.contains(&format!("# {part}")), "{part} in {page}");
    }
    assert!(page.contains("| figure | IRC 2021 | IPC 2021 | UPC 2021 | note |"), "{page}");
    let row = page.lines().find(|l| l.starts_with("| `grade-min.2` |")).expect("it reads it");
    assert!(row.contains("| 0.25 in/ft, P3005.3 (secondary) | 0.25 in/ft, Table 704.1 ("), "{row}");
    assert_eq!(explain("drain-too-steep", &profiles()), None);
}

// `docs/rules.md` is generated; `TRUEFALL_BLESS=1 cargo test -p truefall-check rules_page` writes it.
#[test]
fn the_rules_page_is_what_the_rules_say() {
    let (path, page) = (root().join("docs/rules.md"), rules_page(&profiles()));
    if std::env::var_os("TRUEFALL_BLESS").is_some() {
        std::fs::create_dir_all(root().join("docs")).expect("docs");
        std::fs::write(&path, &page).expect("written");
    }
    let text = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        text == page,
        "docs/rules.md is not what the rules say: TRUEFALL_BLESS=1 cargo test -p truefall-check rules_page"
    );
}
