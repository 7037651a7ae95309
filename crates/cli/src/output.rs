//! The two ways out: stdout for the result, stderr for the talk.

use crate::exit_status::ExitStatus;
use std::io::{ErrorKind, IsTerminal, Write};

/// Whether an output is a terminal that may be written to in colour.
pub fn in_colour(output: &impl IsTerminal) -> bool {
    let unwanted = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
        || std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    output.is_terminal() && !unwanted
}

/// Writes the result to stdout and ends with `status`. A reader who has seen enough is no error.
pub fn result(text: &str, status: ExitStatus) -> ExitStatus {
    let mut stdout = std::io::stdout().lock();
    match stdout.write_all(text.as_bytes()).and_then(|()| stdout.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => {
            talk(&format!("the result can't be written: {why}"));
            ExitStatus::Unusable
        }
        _ => status,
    }
}

/// Says something on stderr; there is nobody left to tell if that fails.
pub fn talk(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}
