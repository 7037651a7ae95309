//! The page that text is laid out on: headings, lines folded to its width, tables.

use super::fold::folded;
use super::style::{Style, Tone};
use super::table::{Table, plain};
use crate::say::Say;
use truefall_model::units::{Fineness, Length};
use unicode_width::UnicodeWidthStr;

/// Columns of a page; a table that is not folded, or a long name, may run over it.
pub const WIDTH: usize = 100;

/// How the text looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Colours or none.
    pub style: Style,
    /// How fine lengths are printed.
    pub fineness: Fineness,
}

/// The text so far.
#[derive(Debug)]
pub struct Page {
    look: Look,
    text: String,
}

impl Page {
    /// An empty page.
    pub fn new(look: Look) -> Self {
        Self { look, text: String::new() }
    }

    /// A heading with an empty line before it, but not on top.
    pub fn heading(&mut self, text: &str) {
        self.blank();
        let painted = self.look.style.paint(Tone::Heading, &plain(text));
        self.push(&painted);
    }

    /// An empty line, but not on top and not behind another.
    pub fn blank(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// Text in a tone, folded, each line behind so many blanks.
    pub fn line(&mut self, indent: usize, tone: Tone, text: &str) {
        self.named(indent, "", tone, text);
    }

    /// Text behind a name, folded, its later lines under the first.
    pub fn named(&mut self, indent: usize, name: &str, tone: Tone, text: &str) {
        let margin = indent + name.width();
        for (i, line) in folded(&plain(text), WIDTH.saturating_sub(margin)).iter().enumerate() {
            let painted = self.look.style.paint(tone, line);
            let before = if i == 0 { format!("{}{name}", " ".repeat(indent)) } else { " ".repeat(margin) };
            self.push(&(before + &painted));
        }
    }

    /// A table behind two blanks.
    pub fn table(&mut self, table: &Table) {
        self.within(table, usize::MAX);
    }

    /// The same, with words folded within their columns where it would be wider than the page.
    pub fn table_folded(&mut self, table: &Table) {
        self.within(table, WIDTH - 2);
    }

    /// A table with a note for each row, folded; rows that follow each other with the same note have it once, under the
    /// last of them. A row without one has an empty note.
    pub fn table_with_notes(&mut self, table: &Table, notes: &[&str]) {
        for (i, line) in table.lines(self.look.style, usize::MAX).iter().enumerate() {
            self.push(&format!("  {line}"));
            // The head, line 0, has no note.
            let note = i.checked_sub(1).and_then(|row| notes.get(row)).copied().unwrap_or("");
            if !note.is_empty() && notes.get(i) != Some(&note) {
                self.line(6, Tone::Faint, note);
            }
        }
    }

    /// A length in inches as the trade writes it, as fine as was asked.
    pub fn length(&self, inches: f64) -> String {
        Length::inches(inches).to_trade(self.look.fineness)
    }

    /// How lengths are written on it.
    pub(super) fn say(&self) -> Say {
        Say { fineness: self.look.fineness, metric: false }
    }

    /// A length that may be missing.
    pub fn length_if(&self, inches: Option<f64>) -> String {
        inches.map_or_else(String::new, |inches| self.length(inches))
    }

    /// The text.
    pub fn into_text(self) -> String {
        self.text
    }

    fn within(&mut self, table: &Table, most: usize) {
        for line in table.lines(self.look.style, most) {
            self.push(&format!("  {line}"));
        }
    }

    fn push(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn later_lines_stand_under_the_first() {
        let mut page = Page::new(Look { style: Style::Plain, fineness: Fineness::Sixteenth });
        page.named(2, "help  ", Tone::Plain, &"word ".repeat(30));
        let text = page.into_text();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].starts_with("  help  word") && lines[1].starts_with("        word"), "{text}");
        assert!(lines.iter().all(|l| l.width() <= WIDTH));
    }
}
