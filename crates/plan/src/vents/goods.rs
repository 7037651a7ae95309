//! What is bought for a job's vents, counted to be priced: fittings, pipe by the foot, valves, plates and ties.

use crate::prices::{Item, Money, PriceList, Unit};
use std::collections::BTreeMap;
use truefall_model::catalog::name::FittingName;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Job;
use truefall_model::job::pipes::End;
use truefall_model::place::{PartKind, RoughIn, RunKind};

/// Goods by item: feet of pipe, of all else how many. Hangers, glue and flashing are left out.
#[derive(Debug, Clone, Default)]
pub(super) struct Goods(BTreeMap<Item, f64>);

impl Goods {
    /// Counts a placed job.
    pub fn of(job: &Job, rough_in: &RoughIn) -> Self {
        let mut goods = Self::default();
        let mut put = |item: Item, much: f64| *goods.0.entry(item).or_insert(0.0) += much;
        for part in &rough_in.parts {
            match &part.kind {
                PartKind::Fitting { pattern, .. } => {
                    if let Some(name) = FittingName::parse(pattern.name.as_str()) {
                        put(Item::Fitting(part.material, name), 1.0);
                    }
                }
                PartKind::Piece { size, cut, .. } => put(Item::Pipe(part.material, *size), cut.to_feet()),
                PartKind::Existing { .. } => {}
            }
        }
        for run in &rough_in.runs {
            let end = match run.kind {
                RunKind::Stack { index, .. } => &job.stacks[index].end,
                RunKind::Branch { index, .. } => &job.branches[index].end,
            };
            let last = run.last_piece.or(run.fits.last().map(|f| f.1));
            if let (End::Valve {}, Some(part)) = (end, last) {
                put(Item::Valve(rough_in.part(part).size()), 1.0);
            }
        }
        for item in &job.provided {
            match item {
                Provided::Plate { .. } => put(Item::SteelPlate, 1.0),
                Provided::Strap { .. } => put(Item::PlateTie, 1.0),
                _ => {}
            }
        }
        goods
    }

    /// What these cost beyond others, and what of it has no price.
    pub fn beyond(&self, was: &Self, prices: &PriceList) -> (Money, Vec<String>) {
        let (mut money, mut unpriced) = (Money::ZERO, Vec::new());
        let items: std::collections::BTreeSet<&Item> = self.0.keys().chain(was.0.keys()).collect();
        for item in items {
            let much = self.0.get(item).unwrap_or(&0.0) - was.0.get(item).unwrap_or(&0.0);
            let unit = if matches!(item, Item::Pipe(..)) { Unit::Foot } else { Unit::Each };
            match prices.of(item, unit) {
                Some(price) => money = money + price.scaled(much),
                None if much > 1e-6 => unpriced.push(item.to_string()),
                None => {}
            }
        }
        (money, unpriced)
    }
}
