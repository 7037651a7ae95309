//! Dry vents and the traps they serve, for rules that look at the pipe rather than at the trap.

use super::air::AirEnd;
use super::trap::{Trap, Vents};
use super::way::Way;
use std::collections::{BTreeMap, BTreeSet};
use truefall_model::place::PartId;

/// One dry vent and the fixtures it serves.
#[derive(Debug, Clone)]
pub struct Served<'v> {
    /// The vent, from the fitting it leaves to the open air.
    pub way: &'v Way,
    /// The fixtures whose traps it serves.
    pub fixtures: BTreeSet<usize>,
    /// A trap of those.
    pub trap: &'v Trap,
}

impl Vents {
    /// The dry vents, each once, in the order of their fittings.
    pub fn served(&self) -> Vec<Served<'_>> {
        let mut served: Vec<Served<'_>> = Vec::new();
        for trap in &self.traps {
            let Some(way) = trap.vent.as_ref().and_then(|v| v.way.as_ref()) else { continue };
            match served.iter_mut().find(|s| s.way.from == way.from && s.way.port == way.port) {
                Some(known) => {
                    known.fixtures.insert(trap.fixture);
                }
                None => served.push(Served { way, fixtures: BTreeSet::from([trap.fixture]), trap }),
            }
        }
        // A relief vent is a vent like others: what it is made of and where it ends is looked at too.
        for relief in &self.reliefs {
            let is_known = |s: &Served<'_>| (s.way.from, s.way.port) == (relief.way.from, relief.way.port);
            if !served.iter().any(is_known) {
                let trap = &self.traps[relief.trap];
                served.push(Served { way: &relief.way, fixtures: relief.fixtures.clone(), trap });
            }
        }
        served.sort_by_key(|s| (s.way.from, s.way.port));
        served
    }

    /// By part of dry vent: the port it is entered by and all fixtures served through it.
    pub fn served_through(&self) -> BTreeMap<PartId, (usize, BTreeSet<usize>)> {
        let mut parts: BTreeMap<PartId, (usize, BTreeSet<usize>)> = BTreeMap::new();
        for served in self.served() {
            for (part, entered) in &served.way.parts {
                let entry = parts.entry(*part).or_insert_with(|| (*entered, BTreeSet::new()));
                entry.1.extend(&served.fixtures);
            }
        }
        parts
    }

    /// Where vents in use end: the last part of each (the fitting itself for a valve right on it) and the fixtures.
    pub fn ends(&self, end: AirEnd) -> BTreeMap<PartId, BTreeSet<usize>> {
        let mut ends: BTreeMap<PartId, BTreeSet<usize>> = BTreeMap::new();
        for served in self.served().into_iter().filter(|s| s.way.end == end) {
            let last = served.way.parts.last().map_or(served.way.from, |p| p.0);
            ends.entry(last).or_default().extend(&served.fixtures);
        }
        ends
    }
}
