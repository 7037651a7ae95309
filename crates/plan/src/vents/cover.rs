//! The cheapest combination: of offers that each mend some needs, those that mend all for the fewest points.

use std::cmp::Ordering;
use std::collections::{BTreeSet, BinaryHeap};

/// One offer as the combination sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Covers {
    /// Its cost in points, not below zero; where it was not tried yet, what it costs at the least.
    pub points: f64,
    /// The needs it mends, by number; where it was not tried yet, those that it may mend. None once it is known not to hold.
    pub needs: BTreeSet<usize>,
    /// The offer that it only goes with.
    pub with: Option<usize>,
}

/// What is said of a set of offers.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// It holds.
    Holds,
    /// It does not hold; one with more in it may.
    Fails,
    /// No set holds with these in it.
    Never(BTreeSet<usize>),
    /// An offer of it was tried first: what it really costs and mends. It costs no less and mends no more than was said.
    Tried(usize, Covers),
}

/// A set of offers on the way to a combination.
struct Partial {
    bound: f64,
    chosen: BTreeSet<usize>,
}

impl PartialEq for Partial {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Partial {}
impl PartialOrd for Partial {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Partial {
    // The heap gives its greatest first: that of the lowest bound, and of those the first by number.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound).then_with(|| other.chosen.cmp(&self.chosen))
    }
}

/// How a search for the cheapest combination ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// The cheapest there is.
    Cheapest(BTreeSet<usize>),
    /// No set holds.
    Nothing,
    /// More than was allowed would have to be asked.
    GaveUp,
}

/// The cheapest set of offers that mends all `needs` and that holds: branch and bound, best first. Sets are asked in order of
/// cost, so the first that holds is the cheapest there is. No more than `most` times is asked.
///
/// A branch takes the lowest need not yet mended and each offer that mends it. Its bound is what it costs so far and the greater of
/// two sums no set below it undercuts: the dearest of the needs left at its cheapest offer; and all needs left, each at its share
/// of the offer of which that is least.
pub fn cheapest(
    mut offers: Vec<Covers>,
    needs: &BTreeSet<usize>,
    most: usize,
    mut ask: impl FnMut(&BTreeSet<usize>) -> Answer,
) -> Found {
    let mut least = Least::of(&offers, needs);
    let mut never: Vec<BTreeSet<usize>> = Vec::new();
    let mut seen: BTreeSet<BTreeSet<usize>> = BTreeSet::new();
    let mut heap = BinaryHeap::from([Partial { bound: 0.0, chosen: BTreeSet::new() }]);
    let mut asked = 0;
    while let Some(Partial { bound, chosen }) = heap.pop() {
        let dead = chosen.iter().any(|o| offers[*o].needs.is_empty());
        if dead || never.iter().any(|n| n.is_subset(&chosen)) {
            continue;
        }
        // What is known of its offers may have changed since.
        let left = left(&offers, needs, &chosen);
        let now = least.bound(&offers, &chosen, &left);
        if now > bound + 1e-9 {
            heap.push(Partial { bound: now, chosen });
            continue;
        }
        let Some(first) = left.first() else {
            if asked >= most {
                return Found::GaveUp;
            }
            asked += 1;
            match ask(&chosen) {
                Answer::Holds => return Found::Cheapest(chosen),
                Answer::Fails => {}
                Answer::Never(these) => never.push(these),
                Answer::Tried(offer, covers) => {
                    offers[offer] = covers;
                    least = Least::of(&offers, needs);
                    heap.push(Partial { bound, chosen });
                }
            }
            continue;
        };
        for i in (0..offers.len()).filter(|i| offers[*i].needs.contains(first)) {
            let mut next = chosen.clone();
            next.extend(std::iter::successors(Some(i), |o| offers[*o].with));
            if never.iter().any(|n| n.is_subset(&next)) || !seen.insert(next.clone()) {
                continue;
            }
            let bound = least.bound(&offers, &next, &self::left(&offers, needs, &next));
            if bound.is_finite() {
                heap.push(Partial { bound, chosen: next });
            }
        }
        if seen.len() > MOST_SETS {
            return Found::GaveUp;
        }
    }
    Found::Nothing
}

/// Sets looked at before the search gives up: some tens of megabytes.
const MOST_SETS: usize = 200_000;

fn left(offers: &[Covers], needs: &BTreeSet<usize>, chosen: &BTreeSet<usize>) -> Vec<usize> {
    needs.iter().copied().filter(|n| !chosen.iter().any(|o| offers[*o].needs.contains(n))).collect()
}

/// By need: its cheapest offer, and its share of the offer whose share is least.
struct Least {
    cheapest: Vec<f64>,
    share: Vec<f64>,
}

impl Least {
    fn of(offers: &[Covers], needs: &BTreeSet<usize>) -> Self {
        let many = needs.last().map_or(0, |n| n + 1);
        let mut least = Self { cheapest: vec![f64::INFINITY; many], share: vec![f64::INFINITY; many] };
        for offer in offers {
            for need in offer.needs.iter().filter(|n| needs.contains(n)) {
                least.cheapest[*need] = least.cheapest[*need].min(offer.points);
                least.share[*need] = least.share[*need].min(offer.points / offer.needs.len() as f64);
            }
        }
        least
    }

    fn bound(&self, offers: &[Covers], chosen: &BTreeSet<usize>, left: &[usize]) -> f64 {
        let so_far: f64 = chosen.iter().map(|o| offers[*o].points).sum();
        let dearest = left.iter().map(|n| self.cheapest[*n]).fold(0.0, f64::max);
        so_far + dearest.max(left.iter().map(|n| self.share[*n]).sum())
    }
}
