//! Tables in fixed columns, as wide as what stands in them on the screen.

use super::style::{Style, Tone};
use unicode_width::UnicodeWidthStr;

/// On which side of its column a cell stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    text: String,
    tone: Tone,
}

impl Cell {
    /// A cell in a tone.
    pub fn toned(tone: Tone, text: impl Into<String>) -> Self {
        Self { text: text.into(), tone }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self { text, tone: Tone::Plain }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// A table with a head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    head: Vec<(Side, &'static str)>,
    rows: Vec<Vec<Cell>>,
}

/// Blanks between two columns.
const GAP: usize = 2;

impl Table {
    /// An empty table.
    pub fn new<const N: usize>(head: [(Side, &'static str); N]) -> Self {
        Self { head: head.to_vec(), rows: Vec::new() }
    }

    /// Adds a row of as many cells as the head has.
    pub fn row<const N: usize>(&mut self, cells: [Cell; N]) {
        debug_assert_eq!(N, self.head.len());
        let clean = |c: Cell| Cell { text: plain(&c.text), tone: c.tone };
        self.rows.push(cells.into_iter().map(clean).collect());
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Its lines, the head first; a column in which no row says anything is left out.
    pub fn lines(&self, style: Style) -> Vec<String> {
        let said = |i: usize| self.rows.iter().any(|row| !row[i].text.is_empty());
        let columns: Vec<usize> = (0..self.head.len()).filter(|i| said(*i)).collect();
        let width = |i: usize| {
            let cells = self.rows.iter().map(|row| row[i].text.width());
            cells.chain([self.head[i].1.width()]).max().unwrap_or(0)
        };
        let widths: Vec<usize> = columns.iter().map(|i| width(*i)).collect();
        let line = |cells: Vec<(Tone, &str)>| {
            let mut out = String::new();
            for ((column, width), (tone, text)) in columns.iter().zip(&widths).zip(cells) {
                let blank = " ".repeat(width - text.width());
                let painted = style.paint(tone, text);
                out.push_str(&match self.head[*column].0 {
                    Side::Left => painted + &blank,
                    Side::Right => blank + &painted,
                });
                out.push_str(&" ".repeat(GAP));
            }
            out.trim_end().to_owned()
        };
        let head = line(columns.iter().map(|i| (Tone::Faint, self.head[*i].1)).collect());
        let rows = self
            .rows
            .iter()
            .map(|row| line(columns.iter().map(|i| (row[*i].tone, row[*i].text.as_str())).collect()));
        std::iter::once(head).chain(rows).collect()
    }
}

/// The text without control characters: a name in a job file must not steer the terminal.
pub fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_each_other_by_width_on_the_screen() {
        let mut table = Table::new([(Side::Left, "name"), (Side::Left, "empty"), (Side::Right, "cut")]);
        table.row(["é".into(), "".into(), "3\"".into()]);
        table.row(["台所".into(), "".into(), "14 3/4\"".into()]);
        // UAX 11: a wide character takes two columns.
        assert_eq!(table.lines(Style::Plain), ["name      cut", "é          3\"", "台所  14 3/4\""]);
    }

    #[test]
    fn a_name_can_not_steer_the_terminal() {
        let mut table = Table::new([(Side::Left, "name")]);
        table.row(["\u{1b}[2Jx".into()]);
        assert_eq!(table.lines(Style::Plain), ["name", " [2Jx"]);
    }
}
