//! The route search against a general graph library: cheapest ways among boxes, with a price for each turn and a limit on turns.
//!
//! The answers were written by `tests/references/route_graph.py`, with the version of networkx in them.

use serde::Deserialize;
use truefall_plan::route::search::{Graph, Limits, Next, cheapest};

const REFERENCE: &str = include_str!("../references/route_graph.json");

#[derive(Debug, Deserialize)]
struct Reference {
    library: String,
    grids: Vec<Grid>,
}

#[derive(Debug, Deserialize)]
struct Grid {
    rows: Vec<String>,
    turn: f64,
    most_turns: u8,
    least: Option<f64>,
}

/// Cell, heading, turns made.
type State = (i32, i32, u8, u8);

impl Grid {
    fn size(&self) -> (i32, i32) {
        (self.rows[0].len() as i32, self.rows.len() as i32)
    }

    fn open(&self, x: i32, y: i32) -> bool {
        let cell = self.rows.get(y as usize).and_then(|row| row.as_bytes().get(x as usize));
        x >= 0 && y >= 0 && cell == Some(&b'.')
    }
}

impl Graph for Grid {
    type State = State;

    fn starts(&self) -> Vec<(State, f64)> {
        (0..4).map(|way| ((0, 0, way, 0), 0.0)).collect()
    }

    fn steps(&self, from: &State) -> Vec<(State, f64)> {
        let ways = [(1, 0), (0, 1), (-1, 0), (0, -1)];
        let mut found = Vec::new();
        for way in (0..4_u8).filter(|way| (way + 2) % 4 != from.2) {
            let turned = u8::from(way != from.2);
            if from.3 + turned <= self.most_turns {
                let (dx, dy) = ways[way as usize];
                found.push(((from.0 + dx, from.1 + dy, way, from.3 + turned), 1.0));
            }
        }
        found
    }

    // Walls and turns are asked only when the label comes up, as wood and holes are on the job.
    fn beyond(&self, from: &State, to: &State) -> Option<f64> {
        self.open(to.0, to.1).then_some(if to.2 == from.2 { 0.0 } else { self.turn })
    }

    fn done(&self, state: &State) -> bool {
        let (wide, high) = self.size();
        (state.0, state.1) == (wide - 1, high - 1)
    }

    fn least_left(&self, state: &State) -> f64 {
        let (wide, high) = self.size();
        f64::from((wide - 1 - state.0).abs() + (high - 1 - state.1).abs())
    }
}

#[test]
fn the_search_finds_what_networkx_finds() {
    let reference: Reference = serde_json::from_str(REFERENCE).expect("the reference reads");
    assert!(reference.library.starts_with("networkx "), "{}", reference.library);
    let with_a_way = reference.grids.iter().filter(|g| g.least.is_some()).count();
    assert!(with_a_way >= 40 && with_a_way < reference.grids.len(), "both kinds: {with_a_way}");
    for (i, grid) in reference.grids.iter().enumerate() {
        let mut least = None;
        cheapest(grid, 1, Limits::NONE, |way| {
            least = Some(way.cost);
            Next::Enough
        });
        assert_eq!(least, grid.least, "grid {i}: {grid:?}");
    }
}
