//! Offers: candidates that were tried and hold, and the plan made of them.

use super::candidate::Candidate;
use super::combine::combine;
use super::cost::{Cost, Weights};
use super::need::{Need, needs};
use super::pool::Pool;
use super::step::Step;
use super::takeoff::Takeoff;
use super::tries::Tries;
use super::{double, larger, open_end, takeoff, way_out};
use crate::prices::PriceList;
use crate::trial::Bench;
use std::collections::{BTreeMap, BTreeSet};
use truefall_check::Finding;
use truefall_check::vent::rim;
use truefall_model::job::Edit;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::label::Label;
use truefall_model::place::RoughIn;

/// What the caller wants.
#[derive(Debug, Clone, Copy)]
pub struct Wanted<'w> {
    /// How many offers for each trap.
    pub best: usize,
    /// What things cost.
    pub weights: &'w Weights,
    /// The user's prices, where they count too.
    pub prices: Option<&'w PriceList>,
}

/// A vent that holds.
#[derive(Debug, Clone)]
pub struct Offer {
    /// What it is, in a few words.
    pub kind: &'static str,
    /// What is done, line by line.
    pub words: Vec<String>,
    /// The traps it mends and the method by which the code then has each vented.
    pub mends: Vec<(Label, String)>,
    /// Needs it mends, by their place in the plan.
    pub needs: BTreeSet<usize>,
    /// What it costs.
    pub cost: Cost,
    /// What of it has no price, where prices were given.
    pub unpriced: Vec<String>,
    /// How large, long and high its vents are, beside what the code asks and where it says so.
    pub figures: Vec<String>,
    /// What the rules newly ask or note; nothing of it is red.
    pub remarks: Vec<Finding>,
    /// The edits of the job; where it is joined to another offer's vent, those of that offer first.
    pub edits: Vec<Edit>,
    /// The offer whose vent it is joined to and without which it is nothing, by its place in the plan.
    pub with: Option<usize>,
    pub(super) steps: Vec<Step>,
}

/// A candidate that does not hold, and what stopped it.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What it is, in a few words.
    pub kind: &'static str,
    /// The need it was made for, by its place in the plan; none for an end that is opened.
    pub need: Option<usize>,
    /// What was tried, line by line.
    pub words: Vec<String>,
    /// What stopped it.
    pub why: String,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct VentPlan {
    /// The traps without a lawful vent.
    pub needs: Vec<Need>,
    /// The offers, cheapest first.
    pub offers: Vec<Offer>,
    /// What was tried in vain.
    pub refusals: Vec<Refusal>,
    /// The cheapest combination that mends all that can be mended, places in `offers`; where none was found that holds, one
    /// that mends as many as it can.
    pub chosen: Vec<usize>,
    /// Whether it is known that no other combination of the offers is cheaper.
    pub cheapest: bool,
    /// How often the job was placed and held to all rules.
    pub trials: usize,
    /// The same as one list of edits, tried as a whole.
    pub edits: Vec<Edit>,
    /// What it costs as a whole.
    pub cost: Option<Cost>,
    /// What of the whole has no price, where prices were given.
    pub unpriced: Vec<String>,
}

impl VentPlan {
    /// Offers that mend a need, cheapest first.
    pub fn offers_for(&self, need: usize) -> impl Iterator<Item = (usize, &Offer)> {
        self.offers.iter().enumerate().filter(move |(_, o)| o.needs.contains(&need))
    }

    /// Of the offers that mend a need the cheapest of each kind and method, cheapest first.
    pub fn kinds_for(&self, need: usize) -> Vec<(usize, &Offer)> {
        let mut kinds = BTreeSet::new();
        let name = &self.needs[need].name;
        let method = |o: &Offer| o.mends.iter().find(|m| m.0 == *name).map(|m| m.1.clone());
        self.offers_for(need).filter(|(_, o)| kinds.insert((o.kind, method(o)))).collect()
    }
}

/// Plans the vents of a placed job. `before` is what the rules tell of it; `progress` hears how many candidates were tried and
/// how many there are.
pub fn plan(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    before: &[Finding],
    wanted: Wanted<'_>,
    progress: &mut dyn FnMut(usize, usize),
) -> VentPlan {
    let needs = needs(bench, rough_in);
    let mut plan = VentPlan {
        needs: needs.clone(),
        offers: Vec::new(),
        refusals: Vec::new(),
        chosen: Vec::new(),
        cheapest: true,
        trials: 0,
        edits: Vec::new(),
        cost: None,
        unpriced: Vec::new(),
    };
    if needs.is_empty() {
        return plan;
    }
    let tries = Tries::of(bench, rough_in, before, &needs, &wanted);
    let mut pool = Pool::default();
    let takeoffs = candidates(&tries, &mut pool);
    best_of_each(&tries, &mut pool, wanted, progress);
    // Traps that got none where the vent was too small for the code get the next size.
    for larger in 1..=2 {
        let again: Vec<usize> = (0..needs.len()).filter(|n| pool.too_small(*n)).collect();
        for need in &again {
            from_takeoffs(&tries, &mut pool, *need, larger);
        }
        if !again.is_empty() {
            best_of_each(&tries, &mut pool, wanted, progress);
        }
    }
    // Only a combination has use for these, so only it tries them.
    way_out::joined(&tries, &mut pool, &takeoffs);
    let chosen = combine(&tries, &mut pool, progress);
    if let Some((set, whole, _)) = &chosen
        && set.len() > 1
    {
        pool.call_by(&tries, set, &whole.names);
    }
    plan.trials = tries.trials();
    pool.into_plan(&mut plan, chosen);
    plan
}

/// All candidates that can be known before any is tried; by need its takeoffs.
fn candidates(tries: &Tries<'_>, pool: &mut Pool) -> Vec<Vec<Takeoff>> {
    open_end::candidates(tries, pool);
    double::candidates(tries, pool);
    larger::candidates(tries, pool);
    not_planned(tries, pool);
    (0..tries.needs.len()).map(|need| from_takeoffs(tries, pool, need, 0)).collect()
}

/// Candidates from the takeoffs of a need, so many sizes larger than the code's least.
fn from_takeoffs(tries: &Tries<'_>, pool: &mut Pool, need: usize, larger: usize) -> Vec<Takeoff> {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let least = takeoff::least_size(bench, &tries.needs[need]);
    let (takeoffs, in_vain) = takeoff::takeoffs(tries, need, least, larger);
    pool.refusals.extend(in_vain);
    for takeoff in &takeoffs {
        for mut candidate in way_out::ways(bench, rough_in, takeoff, tries.needs[need].fixture) {
            candidate.need = Some(need);
            pool.put(candidate);
        }
    }
    takeoffs
}

/// Sinks that stand away from every wall in which a vent could rise over their rim, in an island's low one, would take an island's loop where the code has it, which is checked and not planned.
fn not_planned(tries: &Tries<'_>, pool: &mut Pool) {
    let (job, framed) = (tries.bench.job, &tries.rough_in.framed);
    let placed = tries.rough_in.placed(job.cut_on);
    for (n, need) in tries.needs.iter().enumerate() {
        let fixture = &job.fixtures[need.fixture];
        let sink = matches!(
            fixture.kind,
            FixtureKind::KitchenSink | FixtureKind::Lavatory | FixtureKind::LaundryTub
        );
        let at = placed.origin(need.part);
        let apart = |w: &truefall_model::framing::space::WallSpace| {
            let (along, out) = w.measure(at.xy());
            out.abs() > ISLAND_IN || !(-ISLAND_IN..=w.length + ISLAND_IN).contains(&along)
        };
        let rim = rim(job, tries.rough_in, tries.bench.catalog, need.fixture).map_or(at.z, |r| r.z);
        if sink && framed.walls.iter().filter(|w| w.z1 > rim).all(apart) {
            pool.refusals.push(Refusal {
                kind: "island's loop",
                need: Some(n),
                words: Vec::new(),
                why: "an island's loop is held to the code where a job has one, and not planned: draw it as high as it goes under the \
                      counter and back down, its foot vent to a wall, with a cleanout in it"
                    .to_owned(),
            });
        }
    }
}

/// A sink this far from every wall stands in an island.
const ISLAND_IN: f64 = 18.0;

/// Tries candidates, those first that cost the least at the least, until each need has as many ways as were asked for that are
/// cheaper than any other can be.
fn best_of_each(
    tries: &Tries<'_>,
    pool: &mut Pool,
    wanted: Wanted<'_>,
    progress: &mut dyn FnMut(usize, usize),
) {
    let mut order: Vec<(f64, usize)> =
        pool.untried().map(|i| (tries.at_least(&pool.ways[i].candidate), i)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let total = order.len();
    // By need: the cheapest of each kind and method so far.
    let mut best: BTreeMap<usize, BTreeMap<(&'static str, String), f64>> = BTreeMap::new();
    let heard = |best: &mut BTreeMap<usize, BTreeMap<(&'static str, String), f64>>, offer: &Offer| {
        for (need, (_, method)) in offer.needs.iter().zip(&offer.mends) {
            let key = (offer.kind, method.clone());
            let least = best.entry(*need).or_default().entry(key).or_insert(f64::INFINITY);
            *least = least.min(offer.cost.points);
        }
    };
    pool.offers().for_each(|offer| heard(&mut best, offer));
    for (tried, (least, i)) in order.into_iter().enumerate() {
        progress(tried, total);
        let candidate: &Candidate = &pool.ways[i].candidate;
        let settled = candidate.mends.iter().all(|(need, method)| {
            best.get(need).is_some_and(|kinds| {
                let mut points: Vec<f64> = kinds.values().copied().collect();
                points.sort_by(f64::total_cmp);
                kinds.get(&(candidate.kind, method.clone())).is_some_and(|p| *p <= least)
                    || points.get(wanted.best - 1).is_some_and(|p| *p <= least)
            })
        });
        if !settled && let Some(offer) = pool.settle(tries, i) {
            heard(&mut best, offer);
        }
    }
    progress(total, total);
}
