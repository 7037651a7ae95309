//! The template of a price file: every item that a job or one of its alternatives takes, with room for a price.

use truefall_plan::buy::{Bill, Line, Offer};
use truefall_plan::prices::{COLUMNS, PriceList};

/// The file as comma-separated text: first what the job takes, then what only an alternative would. Prices already known
/// stand in it.
///
/// # Errors
/// Only what the writer itself reports; it writes to memory.
pub fn price_file(bill: &Bill, offers: &[Offer], known: &PriceList) -> Result<String, csv::Error> {
    let mut lines: Vec<&Line> = Vec::new();
    for line in bill.lines.iter().chain(offers.iter().flat_map(|offer| &offer.bill.lines)) {
        if !lines.iter().any(|l| l.item == line.item && l.unit.same(line.unit)) {
            lines.push(line);
        }
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for line in lines {
        let material = line.item.material().map_or("", |material| material.word());
        let price = known.of(&line.item, line.unit).map_or_else(String::new, |price| price.to_string());
        let (item, unit) = (line.item.to_string(), line.unit.to_string());
        writer.write_record([item.as_str(), material, unit.as_str(), price.as_str()])?;
    }
    let bytes = writer.into_inner().map_err(|why| csv::Error::from(why.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
