//! The cheapest combination: of offers that each mend some needs, those that mend all for the fewest points.

use std::cmp::Ordering;
use std::collections::{BTreeSet, BinaryHeap};

/// One offer as the combination sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Covers {
    /// Its cost in points, not below zero.
    pub points: f64,
    /// The needs it mends, by number.
    pub needs: BTreeSet<usize>,
}

/// A set of offers on the way to a combination.
struct Partial {
    points: f64,
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

/// The cheapest set of offers that mends all `needs` and that `holds`: branch and bound, best first. Sets are asked in order
/// of cost, so the first that holds is the cheapest there is. No more than `most` are asked; none where none of them holds.
///
/// A branch takes the lowest need not yet mended and each offer that mends it. Its bound is what it costs so far and the
/// dearest of the needs left, each at its cheapest offer: no set below the branch costs less.
pub fn cheapest(
    offers: &[Covers],
    needs: &BTreeSet<usize>,
    most: usize,
    mut holds: impl FnMut(&BTreeSet<usize>) -> bool,
) -> Option<BTreeSet<usize>> {
    let left = |chosen: &BTreeSet<usize>| -> Vec<usize> {
        needs.iter().copied().filter(|n| !chosen.iter().any(|o| offers[*o].needs.contains(n))).collect()
    };
    let bound = |points: f64, left: &[usize]| {
        let least = |need: &usize| {
            let of = offers.iter().filter(|o| o.needs.contains(need)).map(|o| o.points);
            of.fold(f64::INFINITY, f64::min)
        };
        points + left.iter().map(least).fold(0.0, f64::max)
    };
    let start = BTreeSet::new();
    let mut heap = BinaryHeap::new();
    heap.push(Partial { points: 0.0, bound: bound(0.0, &left(&start)), chosen: start });
    let mut seen: BTreeSet<BTreeSet<usize>> = BTreeSet::new();
    let mut asked = 0;
    while let Some(at) = heap.pop() {
        if at.bound.is_infinite() {
            return None;
        }
        let open = left(&at.chosen);
        let Some(first) = open.first() else {
            if holds(&at.chosen) {
                return Some(at.chosen);
            }
            asked += 1;
            if asked >= most {
                return None;
            }
            continue;
        };
        for (i, offer) in offers.iter().enumerate().filter(|(_, o)| o.needs.contains(first)) {
            let mut chosen = at.chosen.clone();
            chosen.insert(i);
            if seen.insert(chosen.clone()) {
                let points = at.points + offer.points;
                heap.push(Partial { points, bound: bound(points, &left(&chosen)), chosen });
            }
        }
    }
    None
}
