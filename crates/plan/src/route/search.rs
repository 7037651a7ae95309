//! Finds the cheapest ways through a graph in order of cost: label setting with a lower bound of what is left (A*).
//!
//! What a step costs beyond its floor (holes) and whether it can be made at all is asked only when its label comes up: most
//! steps never do. Every way through the graph is a walk from a start to a state at which the graph says it is done.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};

/// A graph that is made while it is searched.
pub trait Graph {
    /// Where one can be; two that are equal have the same ways on.
    type State: Ord + Clone;

    /// Where ways start, with what that costs.
    fn starts(&self) -> Vec<(Self::State, f64)>;

    /// The steps from a state, each with the least it can cost.
    fn steps(&self, from: &Self::State) -> Vec<(Self::State, f64)>;

    /// What a step costs beyond its least; none where it can't be made.
    fn beyond(&self, from: &Self::State, to: &Self::State) -> Option<f64>;

    /// Whether a way may end here.
    fn done(&self, state: &Self::State) -> bool;

    /// No way from here to an end costs less than this; it never falls by more along a step than the step costs.
    fn least_left(&self, state: &Self::State) -> f64;
}

/// A way through a graph, from its start to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Way<S> {
    /// The states in order.
    pub states: Vec<S>,
    /// What it costs.
    pub cost: f64,
}

/// What to do after a way was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// Look for the next cheapest.
    More,
    /// It is enough.
    Enough,
}

struct Label<S> {
    state: S,
    cost: f64,
    parent: Option<usize>,
}

struct Queued {
    bound: f64,
    label: usize,
    sound: bool,
}

impl PartialEq for Queued {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Queued {}
impl PartialOrd for Queued {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Queued {
    // The heap gives the greatest: the least bound, of those alike the label made first.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound).then(other.label.cmp(&self.label))
    }
}

/// How far a search goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The most labels settled.
    pub labels: usize,
    /// The most steps asked what they cost beyond their least.
    pub asked: usize,
    /// No way that costs more is looked for.
    pub cost: f64,
}

impl Limits {
    /// To the end of the graph.
    pub const NONE: Self = Self { labels: usize::MAX, asked: usize::MAX, cost: f64::INFINITY };
}

/// Gives the ways through a graph to `found`, cheapest first, until it says enough or the limits are reached. A state is
/// settled at most `apiece` times: with 1 the cheapest way to each end, with more the next ones too. Returns how many labels
/// were settled.
pub fn cheapest<G: Graph>(
    graph: &G,
    apiece: usize,
    most: Limits,
    mut found: impl FnMut(&Way<G::State>) -> Next,
) -> usize {
    let mut labels: Vec<Label<G::State>> = Vec::new();
    let mut queue = BinaryHeap::new();
    let mut settled: BTreeMap<G::State, usize> = BTreeMap::new();
    for (state, cost) in graph.starts() {
        queue.push(Queued { bound: cost + graph.least_left(&state), label: labels.len(), sound: true });
        labels.push(Label { state, cost, parent: None });
    }
    let (mut count, mut asked) = (0, 0);
    while let Some(Queued { label, sound, bound }) = queue.pop() {
        if bound > most.cost {
            return count;
        }
        let state = labels[label].state.clone();
        if settled.get(&state).is_some_and(|times| *times >= apiece) {
            continue;
        }
        if !sound {
            let Some(parent) = labels[label].parent else { continue };
            if asked >= most.asked {
                return count;
            }
            asked += 1;
            let Some(beyond) = graph.beyond(&labels[parent].state, &state) else { continue };
            labels[label].cost += beyond;
            queue.push(Queued { bound: labels[label].cost + graph.least_left(&state), label, sound: true });
            continue;
        }
        *settled.entry(state.clone()).or_default() += 1;
        count += 1;
        if graph.done(&state) {
            if found(&walked(&labels, label)) == Next::Enough {
                return count;
            }
            continue;
        }
        if count >= most.labels {
            return count;
        }
        let cost = labels[label].cost;
        for (next, least) in graph.steps(&state) {
            if settled.get(&next).is_some_and(|times| *times >= apiece) {
                continue;
            }
            let bound = cost + least + graph.least_left(&next);
            queue.push(Queued { bound, label: labels.len(), sound: false });
            labels.push(Label { state: next, cost: cost + least, parent: Some(label) });
        }
    }
    count
}

fn walked<S: Clone>(labels: &[Label<S>], end: usize) -> Way<S> {
    let mut states = Vec::new();
    let mut at = Some(end);
    while let Some(label) = at {
        states.push(labels[label].state.clone());
        at = labels[label].parent;
    }
    states.reverse();
    Way { states, cost: labels[end].cost }
}
