//! A scene: a job file under `scenes/` whose first lines say why it is there (`//`), which findings it must give (`//=`),
//! which rule a careless version would break here and why it must be silent (`//~`),
//! or with which words it must be refused (`//!`).

use crate::expect::Expected;
use std::path::{Path, PathBuf};
use truefall_check::Finding;
use truefall_model::catalog::Catalog;
use truefall_model::document::Faults;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_packet::examine;

/// One scene as it stands in its file.
#[derive(Debug, Clone)]
pub struct Scene {
    /// Its path under `scenes/`, such as `rules/drain-too-flat/bad_eighth.ron`.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// Its first comment line: why it is there.
    pub why: String,
    /// The findings it must give, and no others.
    pub expected: Vec<Expected>,
    /// Rules that must be silent about it though they might seem to have a case, and why they have none.
    pub silent: Vec<Silent>,
    /// The lines with which it must be refused: line, column, path, message and help.
    pub refused: Vec<String>,
}

/// A rule that must say nothing of a scene: `//~ tee-not-upright: only air goes through it`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Silent {
    /// The rule.
    pub rule: String,
    /// What a careless version of it would overlook.
    pub why: String,
}

/// The folder of all scenes.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes")
}

/// The names of what lies in a folder under `scenes/`, sorted; with an extension only such files.
///
/// # Panics
/// The folder can't be read.
pub fn list(under: &str, extension: Option<&str>) -> Vec<String> {
    let path = folder().join(under);
    let entries = std::fs::read_dir(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("an entry can be read").path())
        .filter(|p| match extension {
            Some(wanted) => p.extension().is_some_and(|e| e == wanted),
            None => p.is_dir(),
        })
        .filter_map(|p| Some(p.file_name()?.to_str()?.to_owned()))
        .collect();
    names.sort();
    names
}

/// The scenes of a folder under `scenes/`, by name.
///
/// # Panics
/// One can't be read, or an expectation in it can't.
pub fn scenes(under: &str) -> Vec<Scene> {
    list(under, Some("ron")).iter().map(|file| Scene::load(&format!("{under}/{file}"))).collect()
}

impl Scene {
    /// Loads one by its path under `scenes/`.
    ///
    /// # Panics
    /// It can't be read, or an expectation in it can't.
    pub fn load(name: &str) -> Self {
        let path = folder().join(name);
        let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let marked = |mark: &str| -> Vec<String> {
            text.lines().filter_map(|l| l.strip_prefix(mark)).map(|l| l.trim().to_owned()).collect()
        };
        let expected = marked("//=")
            .iter()
            .map(|line| Expected::parse(line).unwrap_or_else(|e| panic!("{name}: {e}")))
            .collect();
        let silent = marked("//~")
            .iter()
            .map(|line| {
                let (rule, why) = line
                    .split_once(": ")
                    .unwrap_or_else(|| panic!("{name}: `{line}` is not `rule: why it is silent`"));
                Silent { rule: rule.to_owned(), why: why.to_owned() }
            })
            .collect();
        let first = text.lines().next().unwrap_or_default();
        let why = first.strip_prefix("// ").unwrap_or_default().to_owned();
        Self { name: name.to_owned(), why, expected, silent, refused: marked("//!"), text }
    }

    /// Whether it is there to be faulted: `bad_…`.
    pub fn is_bad(&self) -> bool {
        self.file().starts_with("bad_")
    }

    /// Whether it is there to pass its rule: `ok_…`.
    pub fn is_ok(&self) -> bool {
        self.file().starts_with("ok_")
    }

    fn file(&self) -> &str {
        self.name.rsplit('/').next().unwrap_or_default()
    }

    /// What the whole tool finds in it, in both placements.
    ///
    /// # Errors
    /// All faults that leave nothing to check.
    pub fn findings(&self) -> Result<Vec<Finding>, Faults> {
        let file = JobFile::read(&self.name, &self.text)?;
        match examine(&file.job, Catalog::builtin(), Placement::ALL) {
            Ok(examined) => Ok(examined.findings),
            Err(faults) => Err(file.faults(&faults)),
        }
    }

    /// Its lines without comments: what is built.
    pub fn built(&self) -> Vec<&str> {
        self.text.lines().filter(|l| !l.trim_start().starts_with("//")).collect()
    }
}
