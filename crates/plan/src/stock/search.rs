//! The search through all plans: piece by piece, longest first, into every bar that is open or a new one.
//!
//! A branch is left where what it has bought, and must yet buy for what does not fit in the open bars, is no better than the
//! best plan known. Bars with the same room left are the same; so are pieces of one length.

use super::plan::{RawBar, Yard};
use truefall_model::tolerance::SLACK;

/// Steps after which the search gives up and the best plan so far stands, unproven.
const MOST_STEPS: u64 = 400_000;

/// What a search came to.
pub struct Searched {
    /// The best plan.
    pub bars: Vec<RawBar>,
    /// All plans were looked at, or ruled out.
    pub whole: bool,
}

struct Search<'a> {
    sizes: &'a [f64],
    yard: &'a Yard<'a>,
    /// What is still to come from each piece on.
    rest: Vec<f64>,
    /// Least cost of an inch of pieces.
    per_inch: f64,
    best: f64,
    best_bars: Vec<RawBar>,
    steps: u64,
}

/// A bar counts this much beside its length, so that of plans that buy the same the one of fewer lengths is better.
const PER_BAR: f64 = 1e-3;

/// Looks for a plan better than `known`.
pub fn search(sizes: &[f64], yard: &Yard<'_>, known: &[RawBar]) -> Searched {
    let mut rest = vec![0.0; sizes.len() + 1];
    for i in (0..sizes.len()).rev() {
        rest[i] = rest[i + 1] + sizes[i];
    }
    let per_inch = yard.lengths.iter().map(|l| (l + PER_BAR) / yard.room(*l)).fold(f64::INFINITY, f64::min);
    let best = yard.bought(known) + PER_BAR * known.len() as f64;
    let mut search = Search { sizes, yard, rest, per_inch, best, best_bars: known.to_vec(), steps: 0 };
    search.go(0, 0.0, &mut Vec::new(), &mut Vec::new());
    Searched { whole: search.steps < MOST_STEPS, bars: search.best_bars }
}

impl Search<'_> {
    /// `open` are bars with their room left, `placed` the bar of each piece so far.
    fn go(&mut self, at: usize, cost: f64, open: &mut Vec<(f64, f64)>, placed: &mut Vec<usize>) {
        self.steps += 1;
        if self.steps >= MOST_STEPS {
            return;
        }
        if at == self.sizes.len() {
            if cost < self.best - SLACK {
                self.best = cost;
                self.best_bars = bars(open, placed);
            }
            return;
        }
        let room: f64 =
            open.iter().map(|(_, left)| left).filter(|left| **left >= self.sizes[self.sizes.len() - 1]).sum();
        let more = (self.rest[at] - room).max(0.0) * self.per_inch;
        if cost + more >= self.best - SLACK {
            return;
        }
        let size = self.sizes[at];
        // Of pieces of one length the later goes in no earlier bar.
        let same = at > 0 && (self.sizes[at - 1] - size).abs() <= SLACK;
        let from = if same { placed[at - 1] } else { 0 };
        let mut tried: Vec<(f64, f64)> = Vec::new();
        for bar in from..open.len() {
            let (length, left) = open[bar];
            let seen = |t: &(f64, f64)| t.0 == length && (t.1 - left).abs() <= SLACK;
            // The bar an equal piece went in is not the same as one that is still as it was.
            if size > left || tried.iter().any(seen) {
                continue;
            }
            tried.push((length, left));
            open[bar].1 = left - size;
            placed.push(bar);
            self.go(at + 1, cost, open, placed);
            placed.pop();
            open[bar].1 = left;
        }
        for length in self.yard.lengths.iter().rev() {
            if size > self.yard.room(*length) {
                continue;
            }
            open.push((*length, self.yard.room(*length) - size));
            placed.push(open.len() - 1);
            self.go(at + 1, cost + length + PER_BAR, open, placed);
            placed.pop();
            open.pop();
        }
    }
}

fn bars(open: &[(f64, f64)], placed: &[usize]) -> Vec<RawBar> {
    let of = |bar: usize| (0..placed.len()).filter(|i| placed[*i] == bar).collect();
    open.iter().enumerate().map(|(bar, (length, _))| (*length, of(bar))).collect()
}
