//! The job file: RON text to a [`Job`] and back. The one place in the model that touches the file system.
//!
//! A file is written to a temporary name beside its own and renamed, so that nothing is ever half written.

use super::Job;
use crate::document::{Document, Fault, Faults, Places, Spliced, parse, print, read_with_places, splice};
use crate::place::JobFault;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// A job and the text it was read from, so that a later fault can be shown in its line.
#[derive(Debug, Clone)]
pub struct JobFile {
    /// The file's name as the user gave it.
    pub name: String,
    /// The text.
    pub text: String,
    /// The job.
    pub job: Job,
    places: Places,
}

/// Why a job can't be had from a file, or put into one.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file can't be read.
    #[error("{} can't be read: {why}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        why: std::io::Error,
    },
    /// The file is larger than any job.
    #[error("{} is {size} bytes; a job file of at most {most} is read", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size in bytes.
        size: u64,
        /// The largest that is read.
        most: u64,
    },
    /// The file can't be written; the old one is as it was.
    #[error("{} can't be written: {why}; the file is as it was", path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        why: std::io::Error,
    },
    /// Its text is no job.
    #[error("{0}")]
    Faults(#[from] Faults),
}

const LARGEST: u64 = 16 * 1024 * 1024;

impl JobFile {
    /// Reads a job file.
    ///
    /// # Errors
    /// The file can't be read, or its text is no job (with all faults at once).
    pub fn load(path: &Path) -> Result<Self, FileError> {
        let unreadable = |why| FileError::Unreadable { path: path.to_owned(), why };
        let size = std::fs::metadata(path).map_err(unreadable)?.len();
        if size > LARGEST {
            return Err(FileError::TooLarge { path: path.to_owned(), size, most: LARGEST });
        }
        let text = std::fs::read_to_string(path).map_err(unreadable)?;
        Ok(Self::read(&path.display().to_string(), &text)?)
    }

    /// Reads a job from text.
    ///
    /// # Errors
    /// All faults of the text.
    pub fn read(name: &str, text: &str) -> Result<Self, Faults> {
        let (job, places) = read_with_places(name, text)?;
        Ok(Self { name: name.to_owned(), text: text.to_owned(), job, places })
    }

    /// Faults of the job shown where they stand in its file.
    pub fn faults(&self, faults: &[JobFault]) -> Faults {
        let mut faults: Vec<Fault> = faults
            .iter()
            .map(|f| Fault {
                span: self.places.find(&f.path),
                path: f.path.clone(),
                message: f.message.clone(),
                help: f.help.clone(),
            })
            .collect();
        faults.sort_by_key(|f| f.span.start);
        Faults { file: self.name.clone(), text: self.text.clone(), faults }
    }
}

/// A job as the text of its file.
pub fn text(job: &Job) -> String {
    print(&job.write())
}

/// A changed job as text, put into the text it was read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rewritten {
    /// The text; it reads back as the job.
    pub text: String,
    /// Remarks that stood inside of what had to be written anew or went; they stand where it began.
    pub moved: Vec<String>,
    /// More than what differs had to be written anew, so that more of the layout is not the user's.
    pub coarse: bool,
}

impl JobFile {
    /// Another job as text, put into the text this one was read from: only what differs is written anew; remarks and layout stay.
    pub fn text_with(&self, job: &Job) -> Rewritten {
        if let Ok(read) = parse(&self.text) {
            let (was, is) = (self.job.write(), job.write());
            // Held to what it must read as; where that fails, what is written anew is taken one bracket larger.
            for deepest in (0..=DEEPEST).rev() {
                let Spliced { text, moved } = splice(&self.text, &read, &was, &is, deepest);
                if Self::read(&self.name, &text).is_ok_and(|again| again.job == *job) {
                    return Rewritten { text, moved, coarse: deepest < DEEPEST };
                }
            }
        }
        Rewritten { text: text(job), moved: Vec::new(), coarse: true }
    }
}

/// Deeper than a job's brackets go.
const DEEPEST: usize = 12;

/// Writes a job to a file: to a temporary name, then renamed.
///
/// # Errors
/// The file can't be written; what was there is as it was.
pub fn save(path: &Path, job: &Job) -> Result<(), FileError> {
    save_text(path, &text(job))
}

/// Writes the text of a job to a file, as [`save`] does.
///
/// # Errors
/// The file can't be written; what was there is as it was.
pub fn save_text(path: &Path, text: &str) -> Result<(), FileError> {
    let unwritable = |why| FileError::Unwritable { path: path.to_owned(), why };
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.tmp", std::process::id()));
    let temporary = path.with_file_name(name);
    let written = std::fs::File::create(&temporary)
        .and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            file.sync_all()
        })
        .and_then(|()| std::fs::rename(&temporary, path));
    if written.is_err() {
        // The temporary file is ours; if it can't be removed either, the first reason is the one to tell.
        let _ = std::fs::remove_file(&temporary);
    }
    written.map_err(unwritable)
}
