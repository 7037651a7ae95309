//! The template of a price file: every item that a job or one of its alternatives takes, with room for a price.

use truefall_plan::buy::{Bill, Line, Offer};
use truefall_plan::prices::{COLUMNS, PriceList, print_ron};

/// How a price file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PriceForm {
    /// Comma-separated.
    Csv,
    /// The notation of a job.
    Ron,
}

/// The file's text: first what the job takes, then what only an alternative would. Prices already known
/// stand in it.
///
/// # Errors
/// Only what the writer itself reports; it writes to memory.
pub fn price_file(
    bill: &Bill,
    offers: &[Offer],
    known: &PriceList,
    form: PriceForm,
) -> Result<String, csv::Error> {
    let mut lines: Vec<&Line> = Vec::new();
    for line in bill.lines.iter().chain(offers.iter().flat_map(|offer| &offer.bill.lines)) {
        if !lines.iter().any(|l| l.item == line.item && l.unit.same(line.unit)) {
            lines.push(line);
        }
    }
    let row = |line: &&Line| {
        let material = line.item.material().map_or("", |material| material.word());
        let price = known.of(&line.item, line.unit).map_or_else(String::new, |price| price.to_string());
        [line.item.to_string(), material.to_owned(), line.unit.to_string(), price]
    };
    let rows: Vec<[String; 4]> = lines.iter().map(row).collect();
    if form == PriceForm::Ron {
        return Ok(print_ron(&rows));
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for row in &rows {
        writer.write_record(row)?;
    }
    let bytes = writer.into_inner().map_err(|why| csv::Error::from(why.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
