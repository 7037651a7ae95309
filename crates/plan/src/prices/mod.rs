//! What things cost: only what the user's own price file says. There is no price in this program.
//!
//! An [`Item`] is what a shop sells by name, a [`Unit`] how it is counted, a [`Money`] what one of them costs. A
//! [`PriceList`] is read from comma-separated text, or from the notation of a job; nothing is taken from a file that has a fault.

mod item;
mod list;
mod money;
mod read;
mod read_ron;
mod row;
mod unit;

pub use item::Item;
pub use list::PriceList;
pub use money::Money;
pub use read::{COLUMNS, read_csv};
pub use read_ron::{print_ron, read_ron};
use row::Row;
pub use unit::Unit;

use truefall_model::document::Faults;

/// Reads the text of a price file; one whose name ends in `.ron` is in the notation of a job, any other comma-separated.
///
/// # Errors
/// All its faults.
pub fn read(name: &str, text: &str) -> Result<PriceList, Faults> {
    if name.to_lowercase().ends_with(".ron") { read_ron(name, text) } else { read_csv(name, text) }
}
