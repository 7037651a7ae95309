//! Why a stack has no heights: the fewest windows that can't hold together, and by how much.

use super::column::Column;
use super::ladder::solve;
use super::spans::Spans;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// The search for an amount looks no farther than this.
const FARTHEST_IN: f64 = 48.0;

/// Stations whose windows can't hold together; without any of them the rest could be built.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// Their numbers, from the base up.
    pub stations: Vec<usize>,
    /// Their names.
    pub names: Vec<Label>,
    /// How much the windows miss each other by: the least that one edge must give.
    pub short: Option<Length>,
    /// What hangs above at a height of its own, where they fight with that too.
    pub under: Option<Label>,
}

/// A column with one station's windows changed.
pub(super) fn with_windows(column: &Column, station: usize, change: impl Fn(&Spans) -> Spans) -> Column {
    let mut column = column.clone();
    for choice in &mut column.stations[station].choices {
        choice.heights = change(&choice.heights);
    }
    column
}

/// The conflict of a column that can't be built; none where it can, or where the sizes alone don't go together.
pub fn conflict(column: &Column) -> Option<Conflict> {
    if solve(column).is_some() {
        return None;
    }
    let mut free = column.clone();
    // What hangs above is part of the fight unless the windows alone can't hold together.
    free.ceiling = None;
    let under = column.ceiling.as_ref().filter(|_| solve(&free).is_some());
    free.ceiling = under.cloned();
    let mut stations = Vec::new();
    let all: Vec<usize> = (0..column.stations.len()).collect();
    for s in &all {
        // Let the window go; if it can be built then, this one is part of the fight.
        let without = with_windows(&free, *s, |_| Spans::all());
        if solve(&without).is_some() {
            stations.push(*s);
        } else {
            free = without;
        }
    }
    if stations.is_empty() && under.is_none() {
        return None;
    }
    let amounts =
        stations.iter().flat_map(|s| [least(&free, *s, Edge::Lower), least(&free, *s, Edge::Upper)]);
    let short = amounts.flatten().min_by(|a, b| a.total_cmp(b)).map(Length::inches);
    let names = stations.iter().map(|s| column.stations[*s].name.clone()).collect();
    let under = under.map(|c| c.name.clone());
    Some(Conflict { stations, names, short, under })
}

/// An edge of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The lower one goes down.
    Lower,
    /// The upper one goes up.
    Upper,
}

/// A set with its outer edge moved out.
pub(super) fn widened(spans: &Spans, edge: Edge, by_in: f64) -> Spans {
    let (Some(least), Some(greatest)) = (spans.least(), spans.greatest()) else { return spans.clone() };
    spans.or(&match edge {
        Edge::Lower => Spans::one(least - by_in, least),
        Edge::Upper => Spans::one(greatest, greatest + by_in),
    })
}

/// How far an edge must give for the column to be built, inches; none where no distance helps.
pub(super) fn least(column: &Column, station: usize, edge: Edge) -> Option<f64> {
    least_of(|by| solve(&with_windows(column, station, |s| widened(s, edge, by))).is_some())
}

/// The least amount at which something that only ever becomes easier can be done.
pub(super) fn least_of(can: impl Fn(f64) -> bool) -> Option<f64> {
    if !can(FARTHEST_IN) {
        return None;
    }
    let (mut low, mut high) = (0.0, FARTHEST_IN);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if can(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
