//! A price file read: comma-separated, with the columns item, material, unit and price in any order.
//!
//! All faults are told at once, each with its line. A price left empty is no fault: there is none.

use super::{PriceList, Row};
use csv::{ReaderBuilder, StringRecord, Trim};
use truefall_model::document::{Fault, Faults};

/// The columns, in the order a template has them.
pub const COLUMNS: [&str; 4] = ["item", "material", "unit", "price"];

/// Reads the comma-separated text of a price file called `name`.
///
/// # Errors
/// All its faults.
pub fn read_csv(name: &str, text: &str) -> Result<PriceList, Faults> {
    let mut reading = Reading { text, list: PriceList::default(), faults: Vec::new() };
    reading.all();
    let Reading { list, mut faults, .. } = reading;
    if faults.is_empty() {
        return Ok(list);
    }
    faults.sort_by_key(|fault| fault.span.start);
    Err(Faults { file: name.to_owned(), text: text.to_owned(), faults })
}

struct Reading<'t> {
    text: &'t str,
    list: PriceList,
    faults: Vec<Fault>,
}

impl Reading<'_> {
    fn all(&mut self) {
        let mut reader = ReaderBuilder::new()
            .flexible(true)
            .has_headers(false)
            .trim(Trim::All)
            .comment(Some(b'#'))
            .from_reader(self.text.as_bytes());
        let mut columns: Option<[usize; 4]> = None;
        for row in reader.records() {
            match (row, columns) {
                (Err(why), _) => {
                    let at = why.position().map_or(0, |p| p.byte());
                    self.fault(at, "", format!("the row can't be read: {why}"), None);
                    return;
                }
                (Ok(row), None) => match self.head(&row) {
                    Some(head) => columns = Some(head),
                    // Without its columns no row says anything.
                    None => return,
                },
                (Ok(row), Some(columns)) => self.row(&row, columns),
            }
        }
        if columns.is_none() {
            self.fault(0, "", format!("the file is empty; its first row is {}", COLUMNS.join(",")), None);
        }
    }

    fn head(&mut self, row: &StringRecord) -> Option<[usize; 4]> {
        let at = byte(row);
        let before = self.faults.len();
        let read: Vec<String> = row.iter().map(|c| c.trim_start_matches('\u{feff}').to_lowercase()).collect();
        let columns = COLUMNS.map(|wanted| read.iter().position(|c| c == wanted));
        let missing: Vec<&str> =
            COLUMNS.iter().zip(columns).filter(|(_, at)| at.is_none()).map(|(c, _)| *c).collect();
        if !missing.is_empty() {
            let help = format!("the first row is {}", COLUMNS.join(","));
            self.fault(at, "", format!("there is no column {}", missing.join(", ")), Some(help));
        }
        for (i, column) in read.iter().enumerate() {
            if !COLUMNS.contains(&column.as_str()) {
                let message =
                    format!("\"{column}\" is no column of a price file; allowed: {}", COLUMNS.join(", "));
                self.fault(at, "", message, None);
            } else if read[..i].contains(column) {
                self.fault(at, "", format!("column {column} is there twice"), None);
            }
        }
        if self.faults.len() > before {
            return None;
        }
        Some(columns.map(|at| at.unwrap_or_default()))
    }

    fn row(&mut self, row: &StringRecord, columns: [usize; 4]) {
        let at = byte(row);
        if row.len() != columns.len() {
            let (read, allowed) = (row.len(), columns.len());
            let help = "a comma within a value is not taken; lengths are written like 10' 0".to_owned();
            self.fault(at, "", format!("{read} values were read, {allowed} are allowed"), Some(help));
            return;
        }
        let [item, material, unit, price] = columns.map(|c| row.get(c).unwrap_or_default());
        let row = Row { item, material, unit, price };
        for slip in row.into_list(&mut self.list) {
            self.fault(at, slip.field, slip.message, slip.help);
        }
    }

    fn fault(&mut self, at: u64, path: &str, message: String, help: Option<String>) {
        let start = (at as usize).min(self.text.len());
        // A row's place is told by the reader from the end of the one before; remarks and empty rows between are skipped.
        let mut from = start;
        for line in self.text[start..].split_inclusive('\n') {
            let plain = line.trim();
            if !plain.is_empty() && !plain.starts_with('#') {
                break;
            }
            from += line.len();
        }
        let from = from.min(self.text.len());
        let length = self.text[from..].lines().next().map_or(0, str::len);
        let span = truefall_model::document::Span { start: from, end: from + length };
        self.faults.push(Fault { span, path: path.to_owned(), message, help });
    }
}

fn byte(row: &StringRecord) -> u64 {
    row.position().map_or(0, csv::Position::byte)
}
