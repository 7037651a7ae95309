//! Holds the arrows between the crates: model <- check <- plan <- packet <- cli, view, and never back.

use cargo_metadata::{DependencyKind, MetadataCommand};

/// Each crate with the workspace crates it may use.
const ARROWS: &[(&str, &[&str])] = &[
    ("truefall-model", &[]),
    ("truefall-check", &["truefall-model"]),
    ("truefall-plan", &["truefall-model", "truefall-check"]),
    ("truefall-packet", &["truefall-model", "truefall-check", "truefall-plan"]),
    ("truefall", &["truefall-model", "truefall-check", "truefall-plan", "truefall-packet"]),
    ("truefall-view", &["truefall-model", "truefall-check", "truefall-plan", "truefall-packet"]),
    ("truefall-tests", &["truefall-model", "truefall-check", "truefall-plan", "truefall-packet"]),
];

/// Libraries that only one crate may know.
const KEPT_IN: &[(&str, &[&str])] = &[
    ("parry3d-f64", &["truefall-check"]),
    ("clap", &["truefall", "truefall-view"]),
    ("miette", &["truefall"]),
    ("bevy", &["truefall-view"]),
    ("bevy_egui", &["truefall-view"]),
];

#[test]
fn crates_use_only_what_lies_below_them() {
    let manifest = concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.toml");
    let metadata =
        MetadataCommand::new().manifest_path(manifest).no_deps().exec().expect("cargo metadata runs");
    let ours: Vec<&str> = metadata.packages.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(ours.len(), ARROWS.len(), "every crate of the workspace stands in ARROWS: {ours:?}");
    for package in &metadata.packages {
        let name = package.name.as_str();
        let (_, allowed) =
            ARROWS.iter().find(|(n, _)| *n == name).unwrap_or_else(|| panic!("{name} has no arrows"));
        for dependency in package.dependencies.iter().filter(|d| d.kind != DependencyKind::Development) {
            let to = dependency.name.as_str();
            if to.starts_with("truefall") {
                assert!(allowed.contains(&to), "{name} may not use {to}");
            }
            if let Some((_, keepers)) = KEPT_IN.iter().find(|(library, _)| *library == to) {
                assert!(keepers.contains(&name), "{name} may not use {to}; only {keepers:?} may");
            }
        }
    }
}

#[test]
fn parry_is_used_only_for_queries_and_the_model_touches_files_only_in_job_file() {
    let crates = concat!(env!("CARGO_MANIFEST_DIR"), "/../crates");
    let mut seen = 0;
    for path in sources(std::path::Path::new(crates)) {
        let text = std::fs::read_to_string(&path).expect("sources can be read");
        let shown = path.display().to_string().replace('\\', "/");
        seen += 1;
        assert!(text.starts_with("//!"), "{shown} says on its first line what it is for");
        if text.contains("parry3d::") {
            assert!(
                shown.contains("check/src/query/")
                    || shown.contains("check/benches/")
                    || shown.contains("check/tests/"),
                "{shown} uses parry; only check::query may"
            );
        }
        if shown.contains("crates/model/src/") && !shown.ends_with("job/file.rs") {
            assert!(!text.contains("std::fs"), "{shown} touches files; in the model only job::file may");
        }
        if !shown.contains("crates/cli/") {
            let printed = text.lines().any(|l| l.trim_start().starts_with("println!"));
            assert!(
                !printed || shown.contains("/tests") || shown.contains("/benches"),
                "{shown} prints; only the cli may"
            );
        }
    }
    assert!(seen > 50, "the walk found the sources");
}

fn sources(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("folder can be read") {
        let path = entry.expect("entry can be read").path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}
