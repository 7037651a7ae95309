//! The cheapest combination for the whole job: offers that hold together as one job, looked for from the cheapest set on.

use super::cover::{Answer, Covers, Found, cheapest};
use super::offer::Offer;
use super::pool::{Outcome, Pool};
use super::step::Step;
use super::tries::{Against, Tries, Whole};
use std::collections::{BTreeMap, BTreeSet};
use truefall_model::job::pipes::Fit;

/// Questions put before the search gives up: each is a job placed and held to all rules, or a few.
const MOST: usize = 600;

/// How many offers of one need are tried with those taken already, where the search gave up.
const FEW: usize = 8;

/// The cheapest combination that holds as a whole, and whether that is known; where the search gave up, one that mends what it
/// can. None where nothing can be mended.
///
/// A set is the sum of its offers' points. Candidates that were never tried stand in it at their least and are tried as soon as a
/// set with them is the cheapest left. Two offers that are red together are in no set again.
pub(super) fn combine(
    tries: &Tries<'_>,
    pool: &mut Pool,
    progress: &mut dyn FnMut(usize, usize),
) -> Option<(BTreeSet<usize>, Whole, bool)> {
    let can: BTreeSet<usize> = pool.offers().flat_map(|o| o.needs.iter().copied()).collect();
    if can.is_empty() {
        return None;
    }
    let covers: Vec<Covers> = (0..pool.ways.len()).map(|i| pool.covers(tries, i)).collect();
    let mut kept = None;
    let mut pairs: BTreeMap<[usize; 2], bool> = BTreeMap::new();
    let mut asked = 0;
    let found = cheapest(covers, &can, MOST, |set| {
        progress(asked, MOST);
        asked += 1;
        if let Some(i) = set.iter().copied().find(|i| matches!(pool.ways[*i].outcome, Outcome::Untried)) {
            pool.settle(tries, i);
            return Answer::Tried(i, pool.covers(tries, i));
        }
        if let Some(two) = in_each_other(tries, pool, set) {
            return Answer::Never(two);
        }
        match held(tries, pool, set, &can) {
            Ok(whole) => {
                kept = Some(whole);
                Answer::Holds
            }
            Err(Against::Bare) => Answer::Fails,
            Err(Against::Red) => Answer::Never(at_odds(tries, pool, set, &mut pairs)),
        }
    });
    match (found, kept) {
        (Found::Cheapest(set), Some(whole)) => Some((set, whole, true)),
        _ => as_far_as_it_goes(tries, pool, &can).map(|(set, whole)| (set, whole, false)),
    }
}

/// Two of a set that put fittings into one leg nearer to each other than their hubs let them come.
fn in_each_other(tries: &Tries<'_>, pool: &Pool, set: &BTreeSet<usize>) -> Option<BTreeSet<usize>> {
    let put = |i: usize| {
        pool.ways[i].candidate.steps.iter().filter_map(move |step| match step {
            Step::Insert { run, after, along, fit, .. } => Some((run, after, along.to_inches(), fit)),
            _ => None,
        })
    };
    // From its centre to where pipe stops in it: two can't come nearer than both.
    let reach = |fit: &Fit| {
        let pattern = tries.bench.catalog.pattern(fit.fit.as_str()).ok()?;
        let ports = [Some(pattern.enter), pattern.leave].into_iter().flatten();
        ports.map(|p| pattern.ports[p].stop.coords.norm()).min_by(f64::total_cmp)
    };
    for one in set {
        for other in set.range(one + 1..) {
            let meet = put(*one).any(|a| {
                put(*other).any(|b| {
                    let room = reach(a.3).zip(reach(b.3)).map_or(0.0, |(a, b)| a + b);
                    a.0 == b.0 && a.1 == b.1 && (a.2 - b.2).abs() < room
                })
            });
            if meet {
                return Some(with_hosts(pool, [*one, *other]));
            }
        }
    }
    None
}

fn with_hosts(pool: &Pool, ways: [usize; 2]) -> BTreeSet<usize> {
    let host = |i: usize| std::iter::successors(Some(i), |o| pool.ways[*o].candidate.host);
    ways.into_iter().flat_map(host).collect()
}

/// Two of a set that are red together, with those they are joined to; where no two are, all of them.
fn at_odds(
    tries: &Tries<'_>,
    pool: &Pool,
    set: &BTreeSet<usize>,
    known: &mut BTreeMap<[usize; 2], bool>,
) -> BTreeSet<usize> {
    for one in set {
        for other in set.range(one + 1..) {
            let two = with_hosts(pool, [*one, *other]);
            if two.len() == set.len() {
                continue;
            }
            let odds = *known
                .entry([*one, *other])
                .or_insert_with(|| held(tries, pool, &two, &BTreeSet::new()).err() == Some(Against::Red));
            if odds {
                return two;
            }
        }
    }
    set.clone()
}

/// What a set of offers costs and changes as one job, where they hold together and mend `wanted`.
fn held(
    tries: &Tries<'_>,
    pool: &Pool,
    set: &BTreeSet<usize>,
    wanted: &BTreeSet<usize>,
) -> Result<Whole, Against> {
    let offers: Vec<(usize, &Offer)> = set.iter().filter_map(|i| Some((*i, pool.offer(*i)?))).collect();
    tries.together(&offers, wanted)
}

/// Offers taken one after the other, cheapest first, as long as they hold with those taken: the cheapest is taken alone, for
/// each need that is left the first that goes with the rest. Not the cheapest there is, but one that was tried.
fn as_far_as_it_goes(
    tries: &Tries<'_>,
    pool: &Pool,
    can: &BTreeSet<usize>,
) -> Option<(BTreeSet<usize>, Whole)> {
    let (mut chosen, mut mended, mut best) = (BTreeSet::new(), BTreeSet::new(), None);
    let mut offers: Vec<(usize, &Offer)> = (0..pool.ways.len())
        .filter_map(|i| Some((i, pool.offer(i)?)))
        .filter(|o| o.1.with.is_none())
        .collect();
    offers.sort_by(|a, b| a.1.cost.points.total_cmp(&b.1.cost.points));
    for need in can {
        if mended.contains(need) {
            continue;
        }
        for (i, offer) in offers.iter().filter(|(_, o)| o.needs.contains(need)).take(FEW) {
            let mut set: BTreeSet<usize> = chosen.clone();
            set.insert(*i);
            let wanted: BTreeSet<usize> = mended.union(&offer.needs).copied().collect();
            if let Ok(this) = held(tries, pool, &set, &wanted) {
                (chosen, mended, best) = (set, wanted, Some(this));
                break;
            }
        }
    }
    Some((chosen, best?))
}
