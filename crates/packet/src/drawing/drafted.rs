//! The centre lines as a draughtsman sets them down: what stands is set plumb, what lies is set level, and what is too short
//! to be written at is drawn longer. Not to scale, and nothing is measured from it.
//!
//! Along each axis, ends that a straight length holds together share one coordinate; coordinates keep their order, gaps that
//! a length must fit into are widened and long ones shortened. So loops stay closed and what is square stays square.

use super::subject::Subject;
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;
use truefall_model::place::{LegId, PartId, Placed, RoughIn};

/// No length is drawn shorter along an axis, inches of the house: room for its size and its arrow.
const LEAST: f64 = 17.0;
/// From here on a gap between heights grows more slowly.
const LONG: f64 = 30.0;
/// How much of what is longer is drawn.
const SHORTENED: f64 = 0.3;
/// Within about 20 degrees of plumb a length is a riser on paper.
const STANDS: f64 = 0.94;
/// Flatter than about 14 degrees it lies level.
const LIES: f64 = 0.25;
/// Within about 14 degrees of an axis of the house it runs along it.
const SQUARE: f64 = 0.97;

/// An end of a length: a fitting, or where pipe ends in the open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Node {
    /// The middle of a part.
    Part(PartId),
    /// The free end of a leg.
    End(LegId),
}

/// Where every node is set down.
#[derive(Debug, Clone)]
pub struct Drafted {
    at: BTreeMap<Node, Point3<f64>>,
}

impl Drafted {
    /// Of the placement that is built to.
    pub fn of(subject: &Subject<'_>) -> Self {
        let (rough_in, placed) = (subject.rough_in(), subject.built());
        let mut nodes: BTreeMap<Node, Point3<f64>> = BTreeMap::new();
        let mut legs: Vec<(Node, Node, Vector3<f64>)> = Vec::new();
        for leg in &rough_in.legs {
            let (low, high) = Self::ends(rough_in, leg.id);
            let (a, b) = rough_in.leg_ends(placed, leg.id);
            nodes.insert(low, a);
            nodes.insert(high, b);
            legs.push((low, high, b - a));
        }
        let names: Vec<Node> = nodes.keys().copied().collect();
        let index = |node: Node| names.binary_search(&node).unwrap_or(0);
        let points: Vec<Point3<f64>> = nodes.values().copied().collect();
        let legs: Vec<(usize, usize, Vector3<f64>)> =
            legs.into_iter().map(|(a, b, way)| (index(a), index(b), way)).collect();
        let coordinates: Vec<Vec<f64>> = (0..3).map(|axis| set(axis, &points, &legs)).collect();
        let at = |i: usize| Point3::new(coordinates[0][i], coordinates[1][i], coordinates[2][i]);
        Self { at: names.iter().enumerate().map(|(i, node)| (*node, at(i))).collect() }
    }

    /// Both ends of a leg, towards the base first.
    pub fn ends(rough_in: &RoughIn, leg: LegId) -> (Node, Node) {
        let leg = rough_in.leg(leg);
        (Node::Part(leg.low), leg.high.map_or(Node::End(leg.id), Node::Part))
    }

    /// Where a node is set down; none where no leg ends there.
    pub fn node(&self, node: Node) -> Option<Point3<f64>> {
        self.at.get(&node).copied()
    }

    /// Where a part is: a fitting in its middle, a piece at its far end where that is free.
    pub fn part(&self, rough_in: &RoughIn, part: PartId) -> Option<Point3<f64>> {
        self.node(Node::Part(part)).or_else(|| {
            let leg = rough_in.legs.iter().find(|l| l.piece == Some(part) && l.high.is_none())?;
            self.node(Node::End(leg.id))
        })
    }

    /// Whether a leg has any length worth a line.
    pub fn is_drawn(rough_in: &RoughIn, placed: &Placed, leg: LegId) -> bool {
        let (low, high) = rough_in.leg_ends(placed, leg);
        (high - low).norm() >= 0.5
    }
}

/// Whether a leg holds its ends together along an axis.
fn holds(axis: usize, way: &Vector3<f64>) -> bool {
    let long = way.norm();
    if long < 0.5 {
        return true;
    }
    let (up, level) = (way.z.abs() / long, way.xy().norm());
    match axis {
        2 => up < LIES,
        _ if up > STANDS => true,
        // Along the other level axis.
        _ => up < LIES && way[1 - axis].abs() > SQUARE * level,
    }
}

/// The coordinate of every node along one axis.
fn set(axis: usize, points: &[Point3<f64>], legs: &[(usize, usize, Vector3<f64>)]) -> Vec<f64> {
    let mut group: Vec<usize> = (0..points.len()).collect();
    for (a, b, _) in legs.iter().filter(|(_, _, way)| holds(axis, way)) {
        let (from, to) = (group[*a], group[*b]);
        group.iter_mut().filter(|g| **g == from).for_each(|g| *g = to);
    }
    let mean = |g: usize| {
        let of: Vec<f64> = (0..points.len()).filter(|i| group[*i] == g).map(|i| points[i][axis]).collect();
        of.iter().sum::<f64>() / of.len().max(1) as f64
    };
    let mut order: Vec<(f64, usize)> = group.iter().map(|g| (mean(*g), *g)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.dedup_by_key(|o| o.1);
    let place = |g: usize| order.iter().position(|o| o.1 == g).unwrap_or(0);
    let held: Vec<(usize, usize)> = legs
        .iter()
        .filter(|(_, _, way)| way.norm() >= 0.5)
        .map(|(a, b, _)| (place(group[*a]), place(group[*b])))
        .map(|(a, b)| (a.min(b), a.max(b)))
        .filter(|(a, b)| a != b)
        .collect();
    let mut at: Vec<f64> = Vec::with_capacity(order.len());
    for (k, (value, _)) in order.iter().enumerate() {
        let gap = k.checked_sub(1).map_or(0.0, |before| value - order[before].0);
        // Only heights: two stacks brought nearer to each other could come to stand in one line on the sheet.
        let gap = if axis == 2 && gap > LONG { LONG + (gap - LONG) * SHORTENED } else { gap };
        let next = at.last().map_or(0.0, |last| last + gap);
        let least = held.iter().filter(|(_, b)| *b == k).map(|(a, _)| at[*a] + LEAST);
        at.push(least.fold(next, f64::max));
    }
    group.iter().map(|g| at[place(*g)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Elementary geometry of a drawing not to scale: a riser out of plumb is set plumb, a falling length level, a length of
    // 2 in is drawn at least as long as a figure needs, and the order along an axis stays.
    #[test]
    fn what_stands_is_plumb_and_what_lies_is_level() {
        let points = [
            Point3::new(0.0, 0.0, 0.0),
            Point3::new(1.0, 0.0, 40.0),
            Point3::new(61.0, 0.5, 41.2),
            Point3::new(61.0, 0.5, 43.2),
        ];
        let legs: Vec<_> = [(0, 1), (1, 2), (2, 3)].map(|(a, b)| (a, b, points[b] - points[a])).to_vec();
        let axes: Vec<Vec<f64>> = (0..3).map(|axis| set(axis, &points, &legs)).collect();
        assert!((axes[0][0] - axes[0][1]).abs() < 1e-9, "the riser is plumb");
        assert!(
            (axes[2][1] - axes[2][2]).abs() < 1e-9 && (axes[1][1] - axes[1][2]).abs() < 1e-9,
            "level and square"
        );
        assert!(axes[2][3] - axes[2][2] >= LEAST - 1e-9, "a short length has room for its size");
        assert!(axes[0][2] > axes[0][1] && axes[2][1] > axes[2][0]);
    }
}
