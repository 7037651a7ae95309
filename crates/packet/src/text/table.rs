//! Tables in fixed columns, as wide as what stands in them on the screen.

use super::fold::{folded, words};
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

    /// Its lines, the head first; a column in which no row says anything is left out. Where it is wider than so many columns of
    /// the screen, words are folded within their column.
    pub fn lines(&self, style: Style, most: usize) -> Vec<String> {
        let said = |i: usize| self.rows.iter().any(|row| !row[i].text.is_empty());
        let columns: Vec<Column<'_>> = (0..self.head.len())
            .filter(|i| said(*i))
            .map(|i| Column {
                side: self.head[i].0,
                cells: std::iter::once((Tone::Faint, self.head[i].1))
                    .chain(self.rows.iter().map(|row| (row[i].tone, row[i].text.as_str())))
                    .collect(),
            })
            .collect();
        let widths = fitting(&columns, most);
        let cells: Vec<Vec<Vec<String>>> =
            columns.iter().zip(&widths).map(|(column, width)| column.folded(*width)).collect();
        // What folding leaves unused is given back.
        let widths: Vec<usize> = cells
            .iter()
            .map(|column| column.iter().flatten().map(|line| line.width()).max().unwrap_or(0))
            .collect();
        (0..=self.rows.len())
            .flat_map(|row| {
                let high = cells.iter().map(|column| column[row].len()).max().unwrap_or(1);
                (0..high)
                    .map(|at| {
                        let mut out = String::new();
                        for (i, width) in widths.iter().enumerate() {
                            let text = cells[i][row].get(at).map_or("", String::as_str);
                            let blank = " ".repeat(width - text.width());
                            let painted = style.paint(columns[i].cells[row].0, text);
                            out.push_str(&match columns[i].side {
                                Side::Left => painted + &blank,
                                Side::Right => blank + &painted,
                            });
                            out.push_str(&" ".repeat(GAP));
                        }
                        out.trim_end().to_owned()
                    })
                    .collect::<Vec<String>>()
            })
            .collect()
    }
}

/// A column that is shown, its head on top.
struct Column<'t> {
    side: Side,
    cells: Vec<(Tone, &'t str)>,
}

impl Column<'_> {
    /// As wide as its widest cell.
    fn width(&self) -> usize {
        self.cells.iter().map(|(_, text)| text.width()).max().unwrap_or(0)
    }

    /// The narrowest it can be: numbers are not folded, words by words.
    fn least(&self) -> usize {
        match self.side {
            Side::Right => self.width(),
            Side::Left => self
                .cells
                .iter()
                .flat_map(|(_, text)| words(text))
                .map(|word| word.width())
                .max()
                .unwrap_or(0),
        }
    }

    fn folded(&self, width: usize) -> Vec<Vec<String>> {
        self.cells.iter().map(|(_, text)| folded(text, width)).collect()
    }
}

/// Widths with which the table is no wider than so many columns, folding as few cells as it finds; where that can't be, as
/// narrow as it goes.
fn fitting(columns: &[Column<'_>], most: usize) -> Vec<usize> {
    let widths: Vec<usize> = columns.iter().map(Column::width).collect();
    let least: Vec<usize> = columns.iter().map(Column::least).collect();
    let gaps = GAP * columns.len().saturating_sub(1);
    let over = (widths.iter().sum::<usize>() + gaps).saturating_sub(most);
    if over == 0 {
        return widths;
    }
    // One column alone, where that is enough; and all of words, the widest first.
    let mut ways: Vec<Vec<usize>> = (0..columns.len())
        .filter(|i| widths[*i] >= least[*i] + over)
        .map(|i| {
            let mut alone = widths.clone();
            alone[i] -= over;
            alone
        })
        .collect();
    let mut shared = widths;
    for _ in 0..over {
        let widest = (0..columns.len()).filter(|i| shared[*i] > least[*i]).max_by_key(|i| shared[*i]);
        let Some(widest) = widest else { break };
        shared[widest] -= 1;
    }
    ways.push(shared);
    let lines = |way: &Vec<usize>| {
        let cells: Vec<_> = columns.iter().zip(way).map(|(column, width)| column.folded(*width)).collect();
        let rows = cells.first().map_or(0, Vec::len);
        (0..rows).map(|row| cells.iter().map(|c| c[row].len()).max().unwrap_or(1)).sum::<usize>()
    };
    ways.into_iter().min_by_key(lines).unwrap_or_default()
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
        assert_eq!(table.lines(Style::Plain, 100), ["name      cut", "é          3\"", "台所  14 3/4\""]);
    }

    #[test]
    fn a_name_can_not_steer_the_terminal() {
        let mut table = Table::new([(Side::Left, "name")]);
        table.row(["\u{1b}[2Jx".into()]);
        assert_eq!(table.lines(Style::Plain, 100), ["name", " [2Jx"]);
    }

    // By hand: 4 + 2 + 19 + 2 + 7 = 34 columns.
    #[test]
    fn words_fold_within_their_column_and_numbers_do_not() {
        let mut table = Table::new([(Side::Right, "no."), (Side::Left, "member"), (Side::Right, "cut")]);
        table.row(["1234".into(), "bath wall top plate".into(), "14 3/4\"".into()]);
        table.row(["5".into(), "joist".into(), "3\"".into()]);
        assert_eq!(
            table.lines(Style::Plain, 25),
            [
                " no.  member         cut",
                "1234  bath wall  14 3/4\"",
                "      top plate",
                "   5  joist           3\""
            ]
        );
        // Too narrow for any folding: a word a line, and no narrower than its longest.
        assert!(table.lines(Style::Plain, 10).iter().all(|line| line.width() <= 21));
        assert_eq!(table.lines(Style::Plain, 34).len(), 3);
    }
}
