//! The prices of one file, and what a count comes to by them.

use super::{Item, Money, Unit};
use std::collections::BTreeMap;
use truefall_model::units::Length;

/// Prices, by item and unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PriceList {
    prices: BTreeMap<Item, Vec<(Unit, Money)>>,
}

impl PriceList {
    /// Puts in a price; false, and nothing is changed, where there is one for that item and unit.
    pub fn insert(&mut self, item: Item, unit: Unit, price: Money) -> bool {
        let known = self.prices.entry(item).or_default();
        let new = !known.iter().any(|(other, _)| other.same(unit));
        if new {
            known.push((unit, price));
        }
        new
    }

    /// The price as it stands in the file.
    pub fn stated(&self, item: &Item, unit: Unit) -> Option<Money> {
        let known = self.prices.get(item)?;
        known.iter().find(|(other, _)| other.same(unit)).map(|(_, price)| *price)
    }

    /// The dearest of all prices, in whole units of money; zero where there is none.
    pub fn dearest(&self) -> f64 {
        let all = self.prices.values().flatten().map(|(_, price)| price.to_hundredths());
        all.max().map_or(0.0, |most| most as f64 / 100.0)
    }

    /// What one costs: as stated, or a length of pipe by the foot. None where the file says nothing.
    pub fn of(&self, item: &Item, unit: Unit) -> Option<Money> {
        let by_foot = |length: Length| Some(self.stated(item, Unit::Foot)?.scaled(length.to_feet()));
        self.stated(item, unit).or_else(|| match unit {
            Unit::Length(length) => by_foot(length),
            _ => None,
        })
    }
}
