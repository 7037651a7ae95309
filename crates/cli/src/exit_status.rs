//! The exit statuses, all of them.

use std::process::ExitCode;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExitStatus {
    /// Nothing is red.
    Fine,
    /// At least one red tag.
    RedTags,
    /// The input can't be used, or the result can't be written.
    Unusable,
}

impl From<ExitStatus> for ExitCode {
    fn from(status: ExitStatus) -> Self {
        Self::from(match status {
            ExitStatus::Fine => 0,
            ExitStatus::RedTags => 1,
            ExitStatus::Unusable => 2,
        })
    }
}
