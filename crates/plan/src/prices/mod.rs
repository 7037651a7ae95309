//! What things cost: only what the user's own price file says. There is no price in this program.
//!
//! An [`Item`] is what a shop sells by name, a [`Unit`] how it is counted, a [`Money`] what one of them costs. A
//! [`PriceList`] is read from comma-separated text; nothing is taken from a file that has a fault.

mod item;
mod list;
mod money;
mod read;
mod unit;

pub use item::Item;
pub use list::PriceList;
pub use money::Money;
pub use read::{COLUMNS, read};
pub use unit::Unit;
