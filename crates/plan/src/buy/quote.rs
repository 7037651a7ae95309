//! What a bill comes to by a price list, and what has no price.

use super::bill::Bill;
use crate::prices::{Money, PriceList};

/// A bill priced.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// What each line comes to, in the order of the bill; none where the list has no price.
    pub sums: Vec<Option<Money>>,
    /// What the lines with a price come to.
    pub total: Money,
}

impl Quote {
    /// Prices a bill.
    pub fn of(bill: &Bill, prices: &PriceList) -> Self {
        let sums: Vec<Option<Money>> =
            bill.lines.iter().map(|l| Some(prices.of(&l.item, l.unit)?.times(l.count))).collect();
        Self { total: sums.iter().flatten().copied().sum(), sums }
    }

    /// How many lines have no price: the total is without them.
    pub fn unpriced(&self) -> usize {
        self.sums.iter().filter(|sum| sum.is_none()).count()
    }
}
