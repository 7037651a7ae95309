//! The route search against a general graph library with headings in steps of 22.5 degrees: cheapest ways among boxes, with a price
//! for each bend and limits on bends and moves.
//!
//! The answers were written by `tests/references/heading_graph.py`, with the version of networkx in them. A point is
//! x = a + b sqrt 2, y = c + d sqrt 2 with whole a, b, c, d: the tangent of 22.5 degrees is sqrt 2 - 1, so all sixteen headings run
//! exactly from point to point.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::f64::consts::SQRT_2;
use truefall_plan::route::search::{Graph, Limits, Next, cheapest};

const REFERENCE: &str = include_str!("../references/heading_graph.json");

#[derive(Debug, Deserialize)]
struct Reference {
    library: String,
    cases: Vec<Case>,
}

#[derive(Debug, Deserialize)]
struct Case {
    goal: Place,
    boxes: Vec<[f64; 4]>,
    /// Price by steps of 22.5 degrees.
    bends: BTreeMap<i8, f64>,
    most_bends: u8,
    most_moves: u8,
    least: Option<f64>,
}

type Place = [i32; 4];

/// Point, heading, bends made, moves made.
type State = (Place, i8, u8, u8);

fn at(p: Place) -> (f64, f64) {
    (f64::from(p[0]) + f64::from(p[1]) * SQRT_2, f64::from(p[2]) + f64::from(p[3]) * SQRT_2)
}

fn step(heading: i8) -> Place {
    let [mut a, mut b, mut c, mut d] =
        [[1, 0, 0, 0], [1, 0, -1, 1], [1, 0, 1, 0], [-1, 1, 1, 0]][(heading % 4) as usize];
    for _ in 0..heading / 4 {
        [a, b, c, d] = [-c, -d, a, b];
    }
    [a, b, c, d]
}

fn length(heading: i8) -> f64 {
    let (x, y) = at(step(heading));
    x.hypot(y)
}

impl Graph for Case {
    type State = State;

    fn starts(&self) -> Vec<(State, f64)> {
        vec![(([0; 4], 0, 0, 0), 0.0)]
    }

    fn steps(&self, from: &State) -> Vec<(State, f64)> {
        if from.3 == self.most_moves {
            return Vec::new();
        }
        let turns = self.bends.keys().flat_map(|s| [*s, -*s]).filter(|_| from.2 < self.most_bends);
        std::iter::once(0)
            .chain(turns)
            .map(|turn| {
                let way = (from.1 + turn).rem_euclid(16);
                let by = step(way);
                let to = std::array::from_fn(|i| from.0[i] + by[i]);
                ((to, way, from.2 + u8::from(turn != 0), from.3 + 1), length(way))
            })
            .collect()
    }

    // Boxes and bends are asked only when the label comes up, as wood and holes are on the job.
    fn beyond(&self, from: &State, to: &State) -> Option<f64> {
        let ((x, y), (to_x, to_y)) = (at(from.0), at(to.0));
        let in_a_box = [0.5, 1.0].into_iter().any(|share| {
            let (x, y) = (x + share * (to_x - x), y + share * (to_y - y));
            self.boxes.iter().any(|[x0, y0, x1, y1]| *x0 < x && x < *x1 && *y0 < y && y < *y1)
        });
        let turned = (to.1 - from.1).rem_euclid(16);
        let price = if turned == 0 { 0.0 } else { self.bends[&turned.min(16 - turned)] };
        (!in_a_box).then_some(price)
    }

    fn done(&self, state: &State) -> bool {
        state.0 == self.goal
    }

    fn least_left(&self, state: &State) -> f64 {
        let ((x, y), (to_x, to_y)) = (at(state.0), at(self.goal));
        (to_x - x).hypot(to_y - y) * (1.0 - 1e-9)
    }
}

#[test]
fn the_search_finds_what_networkx_finds_at_headings_of_22_5_degrees() {
    let reference: Reference = serde_json::from_str(REFERENCE).expect("the reference reads");
    assert!(reference.library.starts_with("networkx "), "{}", reference.library);
    let with_a_way = reference.cases.iter().filter(|c| c.least.is_some()).count();
    assert!(with_a_way >= 30 && with_a_way < reference.cases.len(), "both kinds: {with_a_way}");
    for (i, case) in reference.cases.iter().enumerate() {
        let mut least = None;
        cheapest(case, 1, Limits::NONE, |way| {
            least = Some(way.cost);
            Next::Enough
        });
        let same = match (least, case.least) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-9,
            (a, b) => a == b,
        };
        assert!(same, "case {i}: {least:?}, networkx has {:?}: {case:?}", case.least);
    }
}
