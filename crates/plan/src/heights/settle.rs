//! Heights for what was chosen: where the windows leave room, every fitting keeps as far from their edges as it can, and
//! stands on a sixteenth.

use super::column::Column;
use super::ladder::{Combination, moved};
use super::spans::Spans;
use super::way::Reach;

/// More room than this on either side is worth nothing: nobody errs by more.
const WORTH_IN: f64 = 1.0;

/// Halvings of the search for the most room: to a thousandth and less.
const HALVINGS: u32 = 12;

/// Heights of the stations' centres, from the base up, inches.
pub fn settle(column: &Column, chosen: &Combination) -> Option<Vec<f64>> {
    let windows: Vec<&Spans> = windows(column, chosen);
    let count = windows.len();
    let mut drawn = vec![0.0; count];
    // First as much as all can have, then station by station what each can have beyond that.
    let all = most(|by| sets(column, chosen, &windows, &vec![by; count]).is_some());
    drawn.fill(all);
    for i in 0..count {
        let own = most(|by| {
            let mut trial = drawn.clone();
            trial[i] = by.max(all);
            sets(column, chosen, &windows, &trial).is_some()
        });
        drawn[i] = own.max(all);
    }
    let inner = sets(column, chosen, &windows, &drawn)?;
    let wished = pick(column, chosen, &inner, None)?;
    let outer = sets(column, chosen, &windows, &vec![0.0; count])?;
    pick(column, chosen, &outer, Some(&wished))
}

/// Where each station's centre may be by itself.
pub(super) fn windows<'c>(column: &'c Column, chosen: &Combination) -> Vec<&'c Spans> {
    column.stations.iter().zip(&chosen.steps).map(|(s, (c, _))| &s.choices[*c].heights).collect()
}

/// The most of something that still holds.
fn most(holds: impl Fn(f64) -> bool) -> f64 {
    if holds(WORTH_IN) {
        return WORTH_IN;
    }
    let (mut low, mut high) = (0.0, WORTH_IN);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// From the base up, all heights each centre can have with what lies below it, its window drawn in by so much.
fn sets(column: &Column, chosen: &Combination, windows: &[&Spans], drawn: &[f64]) -> Option<Vec<Spans>> {
    let mut at = Spans::one(column.foot_in, column.foot_in);
    let mut out = Vec::with_capacity(windows.len());
    for (i, (choice, way)) in chosen.steps.iter().enumerate() {
        let choice = &column.stations[i].choices[*choice];
        let centre = moved(&at, way.reach).shifted(choice.rise_in).and(&windows[i].drawn_in(drawn[i]));
        if centre.is_empty() {
            return None;
        }
        at = centre.shifted(choice.top_in);
        out.push(centre);
    }
    if let (Some(last), Some(most)) = (out.last_mut(), highest(column, chosen)) {
        *last = last.and(&Spans::one(f64::NEG_INFINITY, most));
    }
    out.last().is_none_or(|last| !last.is_empty()).then_some(out)
}

/// The highest that the last station's centre may be for what hangs above it; none where nothing does.
fn highest(column: &Column, chosen: &Combination) -> Option<f64> {
    column.ceiling.as_ref()?;
    let (choice, _) = chosen.steps.last()?;
    let choice = &column.stations.last()?.choices[*choice];
    let tip = chosen.last.links.last().map_or(choice.above, |link| column.connectors[*link].above);
    Some(column.under_ceiling(tip) - chosen.last.reach.least_in() - choice.top_in)
}

/// From the top down, one height each: as wished where that can be, on a sixteenth where that can be; without a
/// wish as near as can be to where it is already, or in the middle.
fn pick(column: &Column, chosen: &Combination, sets: &[Spans], wished: Option<&[f64]>) -> Option<Vec<f64>> {
    let mut heights = vec![0.0; sets.len()];
    let mut allowed = Spans::all();
    for i in (0..sets.len()).rev() {
        let room = sets[i].and(&allowed);
        let at = match wished {
            Some(wished) => {
                let sixteenth = (wished[i] * 16.0).round() / 16.0;
                if room.holds(sixteenth) { Some(sixteenth) } else { room.nearest(wished[i]) }
            }
            None => match column.stations[i].wish_in {
                Some(now) => room.nearest(now),
                None => middle(&room),
            },
        }?;
        heights[i] = at;
        let (choice, way) = &chosen.steps[i];
        let choice = &column.stations[i].choices[*choice];
        if i > 0 {
            let (below, _) = &chosen.steps[i - 1];
            let top = column.stations[i - 1].choices[*below].top_in;
            let stop = at - choice.rise_in - way.reach.least_in() - top;
            allowed = match way.reach {
                Reach::Exact(_) => Spans::one(stop, stop),
                Reach::AtLeast(_) => Spans::one(f64::NEG_INFINITY, stop),
            };
        }
    }
    Some(heights)
}

/// The middle of the widest span; of one without end, as far from the end it has as is worth anything.
fn middle(spans: &Spans) -> Option<f64> {
    let (a, b) = spans.list().iter().copied().max_by(|x, y| (x.1 - x.0).total_cmp(&(y.1 - y.0)))?;
    Some(match (a.is_finite(), b.is_finite()) {
        (true, true) => 0.5 * (a + b),
        (true, false) => a,
        (false, true) => b,
        (false, false) => 0.0,
    })
}
