//! Every rule has scenes that it passes and scenes that it finds fault with, and every folder of scenes has its rule.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use truefall_check::{Rule, rules};

/// The scenes of each rule, by the folder's name.
fn scenes() -> BTreeMap<String, Vec<String>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/rules");
    let names = |path: &Path| -> Vec<String> {
        let entries = std::fs::read_dir(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        entries.map(|e| e.expect("readable").file_name().to_string_lossy().into_owned()).collect()
    };
    // Without the folder every rule is told as without scenes.
    let rules = if folder.is_dir() { names(&folder) } else { Vec::new() };
    rules.into_iter().map(|rule| (rule.clone(), names(&folder.join(rule)))).collect()
}

#[test]
fn every_rule_has_a_scene_it_passes_and_one_it_finds_fault_with() {
    let scenes = scenes();
    let lacks = |rule: &Rule, kind: &str| {
        let own = scenes.get(rule.id).map(Vec::as_slice).unwrap_or_default();
        !own.iter().any(|scene| scene.starts_with(kind) && scene.ends_with(".ron"))
    };
    let of = |kind: &str| -> Vec<&str> {
        rules::ALL.iter().filter(|rule| lacks(rule, kind)).map(|rule| rule.id).collect()
    };
    assert_eq!(
        (of("ok_"), of("bad_")),
        (vec![], vec![]),
        "rules without an ok_*.ron, rules without a bad_*.ron"
    );
}

#[test]
fn every_folder_of_scenes_has_its_rule() {
    let ids: BTreeSet<&str> = rules::ALL.iter().map(|rule| rule.id).collect();
    for (folder, files) in scenes() {
        assert!(ids.contains(folder.as_str()), "scenes/rules/{folder} is no rule");
        for file in files {
            let named = file.starts_with("ok_") || file.starts_with("bad_");
            assert!(named && file.ends_with(".ron"), "scenes/rules/{folder}/{file}: ok_*.ron or bad_*.ron");
        }
    }
}
