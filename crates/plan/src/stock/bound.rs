//! What no plan can be below: by weights that no bar can hold more of than it costs.
//!
//! If every piece has a weight, and no set of pieces that goes in a bar weighs more than the bar is long, then all pieces
//! together weigh no more than any plan buys. Two kinds of weight are tried: by length, and by how many pieces at least so
//! long a bar takes. What is bought is made of whole lengths, so the bound is raised to the next sum of lengths.

use super::plan::Yard;
use truefall_model::tolerance::SLACK;

/// Sums of lengths are only looked through while there are few: beyond, the bound stays as it is.
const MOST_SUMS: usize = 200_000;

/// The least that can be bought for pieces-with-kerf, longest first, inches.
pub fn least(sizes: &[f64], yard: &Yard<'_>) -> f64 {
    if sizes.is_empty() {
        return 0.0;
    }
    let total: f64 = sizes.iter().sum();
    let by_length = yard.lengths.iter().map(|l| l / yard.room(*l)).fold(f64::INFINITY, f64::min) * total;
    let by_count = (0..sizes.len()).map(|i| {
        let each = yard
            .lengths
            .iter()
            .map(|l| (*l, (yard.room(*l) / sizes[i]).floor()))
            .filter(|(_, taken)| *taken >= 1.0)
            .map(|(l, taken)| l / taken)
            .fold(f64::INFINITY, f64::min);
        each * (i + 1) as f64
    });
    let bound = by_count.fold(by_length, f64::max);
    raised(bound, yard.lengths)
}

/// The least sum of whole lengths that is no less.
fn raised(bound: f64, lengths: &[f64]) -> f64 {
    let mut best = f64::INFINITY;
    let mut looked = 0;
    sums(0.0, lengths, bound, &mut best, &mut looked);
    if looked >= MOST_SUMS || !best.is_finite() { bound } else { best }
}

fn sums(so_far: f64, lengths: &[f64], bound: f64, best: &mut f64, looked: &mut usize) {
    *looked += 1;
    if *looked >= MOST_SUMS {
        return;
    }
    if so_far >= bound - SLACK * bound.max(1.0) {
        *best = best.min(so_far);
        return;
    }
    let Some((length, rest)) = lengths.split_last() else { return };
    let most = ((bound - so_far) / length).ceil() as usize;
    if rest.is_empty() {
        let enough = ((bound - so_far) / length - SLACK).ceil().max(0.0);
        *best = best.min(so_far + enough * length);
        return;
    }
    for taken in (0..=most).rev() {
        sums(so_far + taken as f64 * length, rest, bound, best, looked);
    }
}
