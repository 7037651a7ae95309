//! The catalog a command works with: the built-in one, or one with files of the user's folder laid over it.

use crate::fault_report;
use crate::output::talk;
use std::borrow::Cow;
use std::path::{Path, PathBuf};
use truefall_model::catalog::Catalog;

/// The catalog; none, told on stderr, where the folder can't be used.
pub fn load(folder: Option<&Path>) -> Option<Cow<'static, Catalog>> {
    let Some(folder) = folder else { return Some(Cow::Borrowed(Catalog::builtin())) };
    let files = match read(folder) {
        Ok(files) => files,
        Err((path, why)) => {
            talk(&format!("{} can't be read: {why}", path.display()));
            return None;
        }
    };
    if files.is_empty() {
        talk(&format!("{} holds no catalog file (*.ron)", folder.display()));
        return None;
    }
    match Catalog::with_overrides(&files) {
        Ok(catalog) => Some(Cow::Owned(catalog)),
        Err(faults) => {
            fault_report::show(&faults);
            None
        }
    }
}

/// The folder's files by name, with their texts.
fn read(folder: &Path) -> Result<Vec<(String, String)>, (PathBuf, std::io::Error)> {
    let unreadable = |why| (folder.to_owned(), why);
    let entries: Result<Vec<_>, _> = std::fs::read_dir(folder).map_err(unreadable)?.collect();
    let mut paths: Vec<PathBuf> = entries.map_err(unreadable)?.iter().map(std::fs::DirEntry::path).collect();
    paths.retain(|path| path.extension().is_some_and(|e| e == "ron"));
    // The system gives them in any order.
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            std::fs::read_to_string(&path).map(|text| (name, text)).map_err(|why| (path, why))
        })
        .collect()
}
