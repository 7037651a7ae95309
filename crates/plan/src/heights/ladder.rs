//! The search: from the base up, for every kind of open end and every cost so far, the set of heights it can be at.
//!
//! It is exact. What lies above an end depends on that end's kind and height alone, and costs add up and are compared in
//! order (joints, then fittings without a price, then price), so of two ways to the same end at the same height only the cheaper matters. Heights are
//! kept as sets of spans: a spigot in a hub moves a set, a piece makes of it all that lies at least so far above its
//! least. No height is left out and none is rounded.

use super::column::{Choice, Column, Tip};
use super::spans::Spans;
use super::way::{Reach, Way};
use truefall_model::tolerance::SLACK;

/// What a stack costs, compared in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Cost {
    /// Joints to be made, up to the open end at the top.
    pub joints: u32,
    /// Fittings without a price in the user's file: what isn't known is never taken for cheap.
    pub unpriced: u32,
    /// Price of its fittings in cents; pipe is not counted, it is much the same whatever is chosen.
    pub cents: u64,
}

impl Cost {
    fn plus(self, way: &Way, choice: Option<&Choice>) -> Self {
        let (joints, unpriced, cents) = choice.map_or((0, 0, 0), |c| (c.joints, c.unpriced, c.cents));
        Self {
            joints: self.joints + way.joints + joints,
            unpriced: self.unpriced + way.unpriced + unpriced,
            cents: self.cents + way.cents + cents,
        }
    }
}

/// What was chosen, from the base up.
#[derive(Debug, Clone, PartialEq)]
pub struct Combination {
    /// By station: which of its choices, and the way to it.
    pub steps: Vec<(usize, Way)>,
    /// What is put on above the last station to come to the size at the top.
    pub last: Way,
    /// What it costs.
    pub cost: Cost,
    /// The least height of the stop of the open end at the top.
    pub least_top_in: f64,
}

/// An end that can be had at a cost, with all heights of its stop.
#[derive(Debug, Clone)]
struct Node {
    tip: Tip,
    cost: Cost,
    at: Spans,
}

/// Moves heights of one stop to those of the next.
pub(super) fn moved(at: &Spans, reach: Reach) -> Spans {
    match (reach, at.least()) {
        (Reach::Exact(d), _) => at.shifted(d),
        (Reach::AtLeast(d), Some(least)) => Spans::one(least + d, f64::INFINITY),
        (Reach::AtLeast(_), None) => Spans::default(),
    }
}

/// The cheapest combination; none where no heights satisfy all windows.
pub fn solve(column: &Column) -> Option<Combination> {
    let foot = Spans::one(column.foot_in, column.foot_in);
    let mut layers = vec![vec![Node { tip: column.foot, cost: Cost::default(), at: foot }]];
    for station in &column.stations {
        let below = layers.last().expect("the foot is a layer");
        let mut next: Vec<Node> = Vec::new();
        let mut known: Vec<(Tip, Vec<Vec<Way>>)> = Vec::new();
        for node in below {
            let at = known.iter().position(|(tip, _)| *tip == node.tip).unwrap_or_else(|| {
                let opened = station.choices.iter().map(|c| column.ways(node.tip, c.below)).collect();
                known.push((node.tip, opened));
                known.len() - 1
            });
            for (choice, ways) in station.choices.iter().zip(&known[at].1) {
                for way in ways {
                    let centre = moved(&node.at, way.reach).shifted(choice.rise_in).and(&choice.heights);
                    if !centre.is_empty() {
                        let cost = node.cost.plus(way, Some(choice));
                        add(&mut next, choice.above, cost, centre.shifted(choice.top_in));
                    }
                }
            }
        }
        layers.push(cheaper_first(next));
    }
    let (last, node, top) = top(column, layers.last().expect("the foot is a layer"))?;
    let cost = node.cost.plus(&last, None);
    let at = match last.reach {
        Reach::Exact(d) => top - d,
        Reach::AtLeast(_) => node.at.least()?,
    };
    let steps = descend(column, &layers, node, at)?;
    Some(Combination { steps, last, cost, least_top_in: top })
}

fn add(nodes: &mut Vec<Node>, tip: Tip, cost: Cost, at: Spans) {
    match nodes.iter_mut().find(|n| n.tip == tip && n.cost == cost) {
        Some(node) => node.at = node.at.or(&at),
        None => nodes.push(Node { tip, cost, at }),
    }
}

/// Takes off each node what a cheaper one of the same end reaches.
fn cheaper_first(mut nodes: Vec<Node>) -> Vec<Node> {
    nodes.sort_by_key(|n| n.cost);
    let mut kept: Vec<Node> = Vec::new();
    for mut node in nodes {
        for cheaper in kept.iter().filter(|k| k.tip == node.tip) {
            node.at = node.at.less(&cheaper.at);
        }
        if !node.at.is_empty() {
            kept.push(node);
        }
    }
    kept
}

/// The best way out at the top: cost, then the least height.
fn top<'n>(column: &Column, nodes: &'n [Node]) -> Option<(Way, &'n Node, f64)> {
    let mut best: Option<(Way, &Node, f64)> = None;
    for node in nodes {
        for (way, tip) in column.opened(node.tip) {
            // Pipe goes on from a hub.
            if !tip.hub || column.top.is_some_and(|size| size != tip.size) {
                continue;
            }
            let Some(least) = moved(&node.at, way.reach).least() else { continue };
            if least > column.under_ceiling(tip) + SLACK {
                continue;
            }
            let better = best.as_ref().is_none_or(|(b, n, at)| {
                let (new, old) = (node.cost.plus(&way, None), n.cost.plus(b, None));
                new < old || (new == old && least < *at)
            });
            if better {
                best = Some((way, node, least));
            }
        }
    }
    best
}

/// Goes down again from a node at a height: which choice and way led there.
fn descend(column: &Column, layers: &[Vec<Node>], node: &Node, at_in: f64) -> Option<Vec<(usize, Way)>> {
    let mut steps = Vec::new();
    let (mut tip, mut cost, mut at) = (node.tip, node.cost, at_in);
    for (i, station) in column.stations.iter().enumerate().rev() {
        let mut found: Option<(usize, Way, &Node, f64)> = None;
        for below in &layers[i] {
            for (c, choice) in station.choices.iter().enumerate().filter(|(_, c)| c.above == tip) {
                let centre = at - choice.top_in;
                if !choice.heights.holds(centre) {
                    continue;
                }
                for way in column.ways(below.tip, choice.below) {
                    let stop = centre - choice.rise_in - way.reach.least_in();
                    let from = match way.reach {
                        Reach::Exact(_) => below.at.nearest(stop).filter(|_| below.at.holds(stop)),
                        Reach::AtLeast(_) => {
                            below.at.least().filter(|least| Spans::one(*least, f64::INFINITY).holds(stop))
                        }
                    };
                    let Some(from) = from else { continue };
                    let this = below.cost.plus(&way, Some(choice));
                    let better = found
                        .as_ref()
                        .is_none_or(|(c0, w0, n0, _)| this < n0.cost.plus(w0, Some(&station.choices[*c0])));
                    if this <= cost && better {
                        found = Some((c, way, below, from));
                    }
                }
            }
        }
        let (choice, way, below, from) = found?;
        (tip, cost, at) = (below.tip, below.cost, from);
        steps.push((choice, way));
    }
    steps.reverse();
    Some(steps)
}
