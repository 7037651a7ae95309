//! What is wrong in a document, and where: all of it at once.

use super::Span;

/// One fault: where it stands, what was read and what is allowed.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Where in the text.
    pub span: Span,
    /// The way to the field, such as `stacks[0].up[2].height`.
    pub path: String,
    /// What is wrong: what was read and what is allowed.
    pub message: String,
    /// The nearest known name or what to write instead.
    pub help: Option<String>,
}

/// All faults of one file, in the order they stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Faults {
    /// The file's name as the user gave it.
    pub file: String,
    /// The text that was read, to show the lines.
    pub text: String,
    /// The faults, by place.
    pub faults: Vec<Fault>,
}

impl Faults {
    /// Line and column of a byte, both from 1.
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let before = &self.text[..floor_boundary(&self.text, byte)];
        let line = before.matches('\n').count() + 1;
        let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
        (line, column)
    }
}

fn floor_boundary(text: &str, byte: usize) -> usize {
    let mut at = byte.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

impl std::fmt::Display for Faults {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            let (line, column) = self.line_column(fault.span.start);
            write!(f, "{}:{line}:{column}: ", self.file)?;
            if !fault.path.is_empty() {
                write!(f, "{}: ", fault.path)?;
            }
            write!(f, "{}", fault.message)?;
            if let Some(help) = &fault.help {
                write!(f, "; {help}")?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
