//! The swaps that can be built and are allowed, what each saves, and those taken together.
//!
//! Each swap is tried by itself first. What saves is then tried again on top of what was taken before it, the most saving
//! first: one that spoils another is left out. That this is the cheapest of all combinations is not proven.

use super::bill::Bill;
use super::swap::{Swap, swaps, swaps_of};
use crate::prices::{Item, Money, PriceList, Unit};
use crate::site::{BOTH, Site};
use crate::stock::StockOptions;
use crate::trial::{Bench, Trial, attempt};
use truefall_check::facts::Facts;
use truefall_check::{Finding, Verdict};
use truefall_model::job::{Edit, Job};

/// What a swap does to the bill.
#[derive(Debug, Clone, PartialEq)]
pub enum Cost {
    /// It saves so much; below zero it costs more.
    Saves(Money),
    /// It can't be told: these have no price.
    Unpriced(Vec<Item>),
}

/// A swap that was tried: it can be built and nothing is newly red.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// The swap.
    pub swap: Swap,
    /// Joints more than before; below zero fewer.
    pub joints: i64,
    /// What the rules newly tell, none of it red; such an offer is never taken unasked.
    pub tells: Vec<Finding>,
    /// The bill with the swap in it, and nothing else changed.
    pub bill: Bill,
}

impl Offer {
    /// What it does to a bill, by a price list.
    pub fn cost(&self, before: &Bill, prices: &PriceList) -> Cost {
        cost(before, &self.bill, prices)
    }
}

/// A swap that was tried and is not to be had.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// The swap.
    pub swap: Swap,
    /// Why: the first that is newly red, or why it can't be placed.
    pub why: String,
}

/// All swaps, tried one by one on the job as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tried {
    /// Those that can be built and are allowed.
    pub offers: Vec<Offer>,
    /// The others.
    pub refused: Vec<Refusal>,
}

/// The swaps taken together.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Those taken, by their place in the list of offers, in the order they were taken.
    pub taken: Vec<usize>,
    /// What they save together.
    pub saves: Money,
    /// All their changes of the job, in order.
    pub edits: Vec<Edit>,
    /// The job with them in it.
    pub job: Job,
    /// Its bill.
    pub bill: Bill,
}

/// Tries every swap; `step` is told how many of how many are done.
pub fn alternatives(
    site: &Site<'_>,
    stock: &StockOptions,
    before: &Bill,
    mut step: impl FnMut(usize, usize),
) -> Tried {
    let ideas = swaps(site);
    let all = ideas.len();
    let mut tried = Tried::default();
    for (done, swap) in ideas.into_iter().enumerate() {
        step(done, all);
        let trial = match allowed(&site.bench(), &site.findings, swap.edits.clone()) {
            Ok(trial) => trial,
            Err(why) => {
                tried.refused.push(Refusal { swap, why });
                continue;
            }
        };
        let bill = billed(site, &trial, stock);
        let joints = bill.all_joints() as i64 - before.all_joints() as i64;
        tried.offers.push(Offer { swap, joints, tells: newly(&trial), bill });
    }
    step(all, all);
    tried
}

/// Takes of the offers what saves, the most saving first, each tried on top of those before it.
pub fn choose(
    site: &Site<'_>,
    stock: &StockOptions,
    before: &Bill,
    prices: &PriceList,
    offers: &[Offer],
) -> Choice {
    let mut saving: Vec<(usize, Money)> = offers
        .iter()
        .enumerate()
        .filter(|(_, offer)| offer.tells.is_empty())
        .filter_map(|(at, offer)| match offer.cost(before, prices) {
            Cost::Saves(sum) if sum > Money::ZERO => Some((at, sum)),
            _ => None,
        })
        .collect();
    saving.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut choice = Choice {
        taken: Vec::new(),
        saves: Money::ZERO,
        edits: Vec::new(),
        job: site.job.clone(),
        bill: before.clone(),
    };
    for (at, _) in saving {
        let wanted = &offers[at].swap;
        if choice.taken.iter().any(|taken| offers[*taken].swap.fitting == wanted.fitting) {
            continue;
        }
        // Places in the lists have moved with what was taken before: the swap is made anew from the job as it is now.
        let Ok(now) = Site::of(&choice.job, site.catalog) else { continue };
        let here = swaps_of(&now, |name| *name == wanted.fitting);
        let Some(again) = here.into_iter().find(|s| s.kind == wanted.kind) else {
            continue;
        };
        let Ok(trial) = allowed(&now.bench(), &site.findings, again.edits.clone()) else { continue };
        let bill = billed(site, &trial, stock);
        let Cost::Saves(more) = cost(&choice.bill, &bill, prices) else { continue };
        if more <= Money::ZERO || !newly(&trial).is_empty() {
            continue;
        }
        let job = trial.job.clone();
        drop(now);
        choice.taken.push(at);
        choice.saves = choice.saves + more;
        choice.edits.extend(again.edits);
        choice.job = job;
        choice.bill = bill;
    }
    choice
}

/// What is newly told. A piece beside a bushing has another name, and what was told of it before is told again under that:
/// such a pair, of one rule, gravity and placement, is nothing new.
fn newly(trial: &Trial) -> Vec<Finding> {
    let mut gone: Vec<&Finding> = trial.mends.iter().collect();
    let same = |a: &Finding, b: &Finding| {
        (a.rule, a.verdict, a.placement, a.in_both) == (b.rule, b.verdict, b.placement, b.in_both)
    };
    let is_new = |told: &&Finding| match gone.iter().position(|was| same(was, told)) {
        Some(at) => {
            gone.remove(at);
            false
        }
        None => true,
    };
    trial.breaks.iter().filter(is_new).cloned().collect()
}

/// A trial that nothing newly red speaks against, or what does.
fn allowed(bench: &Bench<'_>, before: &[Finding], edits: Vec<Edit>) -> Result<Trial, String> {
    let trial = attempt(bench, before, edits).map_err(|why| why.to_string())?;
    match trial.breaks.iter().find(|finding| finding.verdict == Verdict::RedTag) {
        Some(red) => Err(format!("{}: {}", red.rule, red.what)),
        None => Ok(trial),
    }
}

/// The bill of a job that was tried: placed and held to the rules already, it is only measured.
fn billed(site: &Site<'_>, trial: &Trial, stock: &StockOptions) -> Bill {
    let (job, catalog, rough_in) = (&trial.job, site.catalog, trial.rough_in.clone());
    let facts = BOTH.iter().map(|p| (*p, Facts::of(job, &rough_in, catalog, rough_in.placed(*p)))).collect();
    let (profile, findings) = (site.profile.clone(), trial.findings.clone());
    Bill::of(&Site { job, catalog, profile, rough_in, facts, findings }, stock)
}

/// What another bill saves: only what differs between the two has to have a price.
fn cost(before: &Bill, after: &Bill, prices: &PriceList) -> Cost {
    let mut things: Vec<(&Item, Unit)> = Vec::new();
    for line in before.lines.iter().chain(&after.lines) {
        if !things.iter().any(|(item, unit)| **item == line.item && unit.same(line.unit)) {
            things.push((&line.item, line.unit));
        }
    }
    let mut saves = Money::ZERO;
    let mut unpriced: Vec<Item> = Vec::new();
    for (item, unit) in things {
        let (was, is) = (before.count(item, unit), after.count(item, unit));
        if was == is {
            continue;
        }
        match prices.of(item, unit) {
            Some(price) => saves = saves + price.times(was) - price.times(is),
            None if !unpriced.contains(item) => unpriced.push(item.clone()),
            None => {}
        }
    }
    if unpriced.is_empty() { Cost::Saves(saves) } else { Cost::Unpriced(unpriced) }
}
