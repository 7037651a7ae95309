//! What the sheet of what to buy is laid out from: the bill, and where there are prices what they say.

use truefall_plan::buy::{Bill, Choice, Offer, Quote, Refusal, Tried};
use truefall_plan::prices::PriceList;

/// What is bought for one job.
#[derive(Debug, Clone)]
pub struct Purchase<'a> {
    /// All that the job takes as it is.
    pub bill: &'a Bill,
    /// What the user's prices say; none where no file was given.
    pub priced: Option<Priced<'a>>,
}

/// A bill held to prices.
#[derive(Debug, Clone)]
pub struct Priced<'a> {
    /// The user's prices.
    pub prices: &'a PriceList,
    /// What the bill comes to.
    pub quote: Quote,
    /// What can be built instead.
    pub offers: &'a [Offer],
    /// What was tried and can't be had.
    pub refused: &'a [Refusal],
    /// Those of the offers that are taken together.
    pub choice: &'a Choice,
    /// What the bill with those comes to.
    pub chosen: Quote,
}

impl<'a> Purchase<'a> {
    /// Without prices.
    pub fn unpriced(bill: &'a Bill) -> Self {
        Self { bill, priced: None }
    }

    /// With prices and what they led to.
    pub fn priced(bill: &'a Bill, prices: &'a PriceList, tried: &'a Tried, choice: &'a Choice) -> Self {
        let Tried { offers, refused } = tried;
        let (quote, chosen) = (Quote::of(bill, prices), Quote::of(&choice.bill, prices));
        Self { bill, priced: Some(Priced { prices, quote, offers, refused, choice, chosen }) }
    }
}
