//! What a route's parts cost by the user's own prices, in money and as points of its cost.

use super::cost::Weights;
use super::goal::Goal;
use super::tees::{How, Tee};
use super::turn::Bend;
use crate::prices::{Item, Money, PriceList, Unit};
use truefall_model::catalog::material::Material;
use truefall_model::units::{Length, NominalSize};

/// What a route's parts come to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sum {
    /// What has a price.
    pub money: Money,
    /// What has none; it is not counted.
    pub unpriced: Vec<String>,
}

/// A price list asked for what one route is made of.
#[derive(Debug, Clone, Copy)]
pub struct Priced<'a> {
    /// The user's prices.
    pub list: &'a PriceList,
    /// What the route is made of.
    pub material: Material,
    /// Its size.
    pub size: NominalSize,
}

impl Priced<'_> {
    fn fitting(&self, pattern: &str) -> Option<Money> {
        let item = Item::parse(pattern, self.material.word()).ok()?;
        self.list.of(&item, Unit::Each)
    }

    fn foot(&self) -> Option<Money> {
        self.list.of(&Item::Pipe(self.material, self.size), Unit::Foot)
    }

    fn points(&self, weights: &Weights, price: Option<Money>) -> f64 {
        price.map_or(0.0, |p| p.to_hundredths() as f64 / 100.0 * weights.money)
    }

    /// Puts the prices of pipe, plates and valves into the weights.
    pub fn weigh(&self, weights: &mut Weights) {
        let own = *weights;
        weights.foot += self.points(&own, self.foot());
        weights.plate += self.points(&own, self.list.of(&Item::SteelPlate, Unit::Each));
        weights.valve += self.points(&own, self.list.of(&Item::Valve(self.size), Unit::Each));
    }

    /// Puts the prices of fittings into the points of bends.
    pub fn bends(&self, weights: &Weights, bends: &mut [Bend]) {
        for bend in bends {
            bend.points = self.points(weights, self.fitting(&bend.pattern));
        }
    }

    /// Puts them into the points of tees that are cut in anew.
    pub fn tees(&self, weights: &Weights, tees: &mut [Tee]) {
        for tee in tees.iter_mut().filter(|t| matches!(t.how, How::New { .. } | How::Wye { .. })) {
            tee.cost += self.points(weights, self.fitting(&tee.pattern));
        }
    }

    /// Puts them into the points of risers: foot, tee and arm.
    pub fn risers(&self, weights: &Weights, goal: &mut Goal) {
        let Goal::Feet { foot, risers, .. } = goal else { return };
        let foot = self.points(weights, self.fitting(foot));
        for riser in risers {
            let arm = riser.arm.iter().map(|(pattern, _)| pattern).chain([&riser.tee]);
            riser.cost += foot + arm.map(|pattern| self.points(weights, self.fitting(pattern))).sum::<f64>();
        }
    }

    /// What fittings, pipe by the foot and plates come to. Trims, hangers and glue are left out.
    pub fn sum<'s>(
        &self,
        fittings: impl IntoIterator<Item = &'s String>,
        pipe: Length,
        plates: usize,
    ) -> Sum {
        let mut sum = Sum::default();
        let mut put = |price: Option<Money>, name: String| match price {
            Some(price) => sum.money = sum.money + price,
            None if !sum.unpriced.contains(&name) => sum.unpriced.push(name),
            None => {}
        };
        for pattern in fittings {
            put(self.fitting(pattern), pattern.clone());
        }
        put(self.foot().map(|foot| foot.scaled(pipe.to_feet())), format!("{} pipe by the foot", self.size));
        if plates > 0 {
            let plate = self.list.of(&Item::SteelPlate, Unit::Each).map(|p| p.times(plates));
            put(plate, Item::SteelPlate.to_string());
        }
        sum
    }
}
