//! `--apply`: the planned job written over the user's file, the old one kept beside it.
//!
//! The old file is copied first, under a name that no earlier copy has; then the new one takes its place in one step. What
//! can't be done so leaves the file as it was. Only what the plan changes is written anew: remarks and layout are the user's.

use crate::exit_status::ExitStatus;
use crate::output::talk;
use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use truefall_model::job::Job;
use truefall_model::job::file::{FileError, JobFile, Rewritten, save_text};

/// Writes the planned job over the file it was read from, and tells on stderr what was written and where the old one is.
pub fn apply(path: &Path, file: &JobFile, planned: &Job) -> ExitStatus {
    match write(path, file, planned) {
        Ok(Some((backup, Rewritten { moved, coarse, .. }))) => {
            talk(&format!(
                "wrote the plan into {}; the file as it was is {}",
                path.display(),
                backup.display()
            ));
            if coarse {
                talk("more than the plan changes had to be printed anew; compare the two files");
            }
            if !moved.is_empty() {
                talk(
                    "remarks that stood inside what the plan takes out or prints anew stand before it now, look whether they still hold:",
                );
                moved.iter().for_each(|remark| talk(&format!("  {remark}")));
            }
            ExitStatus::Fine
        }
        Ok(None) => {
            talk(&format!("{} holds this already; nothing was written", path.display()));
            ExitStatus::Fine
        }
        Err(why) => {
            talk(&why.to_string());
            ExitStatus::Unusable
        }
    }
}

/// Why a plan is not in the file; the file is as it was.
#[derive(Debug)]
enum NotApplied {
    /// Someone wrote to the file after it was read: the plan is not for what stands there now.
    Changed(PathBuf),
    /// The old file can't be copied.
    NoBackup(PathBuf, std::io::Error),
    /// The file can't be read again or can't be written.
    File(FileError),
}

impl std::fmt::Display for NotApplied {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Changed(path) => {
                write!(
                    f,
                    "{} was changed while the plan was made; nothing was written, plan again",
                    path.display()
                )
            }
            Self::NoBackup(path, why) => {
                write!(f, "no copy can be kept as {}: {why}; nothing was written", path.display())
            }
            Self::File(why) => why.fmt(f),
        }
    }
}

/// The copy of the old file and what was written; none where the file holds the job already and nothing was.
fn write(path: &Path, file: &JobFile, planned: &Job) -> Result<Option<(PathBuf, Rewritten)>, NotApplied> {
    if file.job == *planned {
        return Ok(None);
    }
    let unreadable = |why| NotApplied::File(FileError::Unreadable { path: path.to_owned(), why });
    // Through a link the file itself is written, not the link replaced.
    let target = std::fs::canonicalize(path).map_err(unreadable)?;
    let permissions = std::fs::metadata(&target).map_err(unreadable)?.permissions();
    if std::fs::read(&target).map_err(unreadable)? != file.text.as_bytes() {
        return Err(NotApplied::Changed(path.to_owned()));
    }
    let backup = keep(&target, file.text.as_bytes())?;
    let rewritten = file.text_with(planned);
    save_text(&target, &rewritten.text).map_err(NotApplied::File)?;
    // A renamed file has the rights of a new one. The job is in; that it may be read less widely is no failure.
    let _ = std::fs::set_permissions(&target, permissions);
    Ok(Some((backup, rewritten)))
}

/// Copies the text beside the file, under the first free of `NAME.before-1`, `NAME.before-2` and so on.
fn keep(path: &Path, text: &[u8]) -> Result<PathBuf, NotApplied> {
    let mut number = 1u64;
    loop {
        let mut name = path.file_name().unwrap_or_default().to_owned();
        name.push(format!(".before-{number}"));
        let backup = path.with_file_name(name);
        // Made anew or not at all, so that two runs at once can't take the same name.
        match std::fs::OpenOptions::new().write(true).create_new(true).open(&backup) {
            Ok(mut copy) => {
                return match copy.write_all(text).and_then(|()| copy.sync_all()) {
                    Ok(()) => Ok(backup),
                    Err(why) => {
                        let _ = std::fs::remove_file(&backup);
                        Err(NotApplied::NoBackup(backup, why))
                    }
                };
            }
            Err(why) if why.kind() == ErrorKind::AlreadyExists => number += 1,
            Err(why) => return Err(NotApplied::NoBackup(backup, why)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::job::Placement;

    /// A folder of its own for one test, empty.
    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("truefall-apply-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        folder
    }

    fn files(folder: &Path) -> Vec<String> {
        let name = |e: std::io::Result<std::fs::DirEntry>| e.unwrap().file_name().into_string().unwrap();
        let mut names: Vec<String> = std::fs::read_dir(folder).unwrap().map(name).collect();
        names.sort();
        names
    }

    const JOB: &str = concat!(
        "// Notes // of the first visit.\nJob(\n  name: \"a house\",\n",
        "  house: House(floors: [Floor(name: \"first\", datum: true)]), // one floor\n)\n"
    );

    fn job_file(folder: &Path) -> (PathBuf, JobFile) {
        let path = folder.join("house.ron");
        std::fs::write(&path, JOB).unwrap();
        let file = JobFile::load(&path).unwrap();
        (path, file)
    }

    fn changed(file: &JobFile) -> Job {
        Job { cut_on: Placement::Found, ..file.job.clone() }
    }

    #[test]
    fn the_old_file_is_kept_to_the_byte_and_the_new_one_reads_as_planned() {
        let folder = folder("kept");
        let (path, file) = job_file(&folder);
        let (backup, rewritten) = write(&path, &file, &changed(&file)).unwrap().unwrap();
        assert_eq!(std::fs::read_to_string(&backup).unwrap(), JOB);
        assert!(!rewritten.coarse && rewritten.moved.is_empty());
        let with_remarks = JOB.replace("// one floor\n", "// one floor\n  cut_on: found,\n");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), with_remarks);
        assert_eq!(JobFile::load(&path).unwrap().job, changed(&file));
        assert_eq!(files(&folder), ["house.ron", "house.ron.before-1"]);
    }

    #[test]
    fn no_earlier_copy_is_overwritten() {
        let folder = folder("earlier");
        let (path, file) = job_file(&folder);
        write(&path, &file, &changed(&file)).unwrap().unwrap();
        let again = JobFile::load(&path).unwrap();
        write(&path, &again, &file.job).unwrap().unwrap();
        assert_eq!(files(&folder), ["house.ron", "house.ron.before-1", "house.ron.before-2"]);
        assert_eq!(std::fs::read_to_string(folder.join("house.ron.before-1")).unwrap(), JOB);
        assert_eq!(std::fs::read_to_string(folder.join("house.ron.before-2")).unwrap(), again.text);
    }

    #[test]
    fn what_stands_there_already_is_not_written() {
        let folder = folder("same");
        let (path, file) = job_file(&folder);
        assert!(write(&path, &file, &file.job.clone()).unwrap().is_none());
        assert_eq!(files(&folder), ["house.ron"]);
        assert_eq!(std::fs::read_to_string(&path).unwrap(), JOB);
    }

    #[test]
    fn a_file_that_was_changed_meanwhile_is_left_alone() {
        let folder = folder("meanwhile");
        let (path, file) = job_file(&folder);
        std::fs::write(&path, "Job()").unwrap();
        let refused = write(&path, &file, &changed(&file)).unwrap_err();
        assert!(refused.to_string().contains("was changed while the plan was made"), "{refused}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "Job()");
        assert_eq!(files(&folder), ["house.ron"]);
    }

    #[test]
    fn a_file_that_is_gone_is_told() {
        let folder = folder("gone");
        let (path, file) = job_file(&folder);
        std::fs::remove_file(&path).unwrap();
        let refused = write(&path, &file, &changed(&file)).unwrap_err();
        assert!(refused.to_string().contains("house.ron can't be read"), "{refused}");
        assert!(files(&folder).is_empty());
    }

    #[cfg(unix)]
    #[test]
    fn through_a_link_the_file_behind_it_is_written_and_keeps_its_rights() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = folder("link");
        let (path, file) = job_file(&folder);
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o640)).unwrap();
        let link = folder.join("link.ron");
        std::os::unix::fs::symlink(&path, &link).unwrap();
        write(&link, &file, &changed(&file)).unwrap().unwrap();
        assert!(std::fs::symlink_metadata(&link).unwrap().file_type().is_symlink());
        assert_eq!(JobFile::load(&path).unwrap().job, changed(&file));
        assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    }
}
