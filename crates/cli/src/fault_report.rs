//! Faults of a file as they are shown: each in its line with column and path, what was read, what is allowed.

use crate::output::{in_colour, talk};
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode};
use std::fmt;
use truefall_model::document::{Fault, Faults};

/// Columns that a message is folded to.
const WIDTH: usize = 100;

/// Shows all faults of a file on stderr.
pub fn show(faults: &Faults) {
    let theme =
        if in_colour(&std::io::stderr()) { GraphicalTheme::unicode() } else { GraphicalTheme::none() };
    let handler = GraphicalReportHandler::new_themed(theme).with_width(WIDTH).with_links(false);
    let source = NamedSource::new(&faults.file, quiet(&faults.text));
    let mut text = String::new();
    for fault in &faults.faults {
        let shown = ShownFault { fault, source: &source };
        if handler.render_report(&mut text, &shown).is_err() {
            // A place that the drawing can't show; the words are still good.
            text.push_str(&format!("{shown}\n"));
        }
    }
    let count = match faults.faults.len() {
        1 => "1 fault".to_owned(),
        many => format!("{many} faults"),
    };
    talk(&format!("{}\n{}: {count}, nothing was checked", text.trim_end(), faults.file));
}

/// The text with blanks for control characters, byte for byte so that places hold: a file must not steer the terminal.
fn quiet(text: &str) -> String {
    let keep = |c: char| !c.is_control() || matches!(c, '\n' | '\r' | '\t');
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if keep(c) {
            out.push(c);
        } else {
            out.extend(std::iter::repeat_n(' ', c.len_utf8()));
        }
    }
    out
}

/// One fault in the text it stands in.
struct ShownFault<'a> {
    fault: &'a Fault,
    source: &'a NamedSource<String>,
}

impl fmt::Display for ShownFault<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.fault.path.is_empty() {
            write!(f, "{}: ", quiet(&self.fault.path))?;
        }
        f.write_str(&quiet(&self.fault.message))
    }
}

impl fmt::Debug for ShownFault<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl std::error::Error for ShownFault<'_> {}

impl Diagnostic for ShownFault<'_> {
    fn help<'h>(&'h self) -> Option<Box<dyn fmt::Display + 'h>> {
        self.fault.help.as_ref().map(|help| Box::new(quiet(help)) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self.source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let span = self.fault.span;
        let length = span.end.saturating_sub(span.start);
        Some(Box::new(std::iter::once(LabeledSpan::new(Some("here".to_owned()), span.start, length))))
    }
}
