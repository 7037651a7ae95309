//! A way in words, and what makes two ways different.

use super::answer::Miss;
use super::goal::Goal;
use super::graph::{Escape, Here, State};
use super::plan::Search;
use super::search::Way;
use super::tees::How;

impl Search<'_> {
    pub(super) fn miss(
        &self,
        graph: &Escape<'_>,
        way: &Way<State>,
        stops: Vec<String>,
        red: Vec<String>,
    ) -> Miss {
        Miss {
            tee: self.tee_words(way),
            fittings: self.fittings(graph, way),
            cost: way.cost - super::graph::STOP_POINTS * stops.len() as f64,
            stops,
            red,
            takes: Vec::new(),
        }
    }

    /// What makes two routes different: the tee but for its height, the turns, and the wood they pass.
    pub(super) fn signature(
        &self,
        graph: &Escape<'_>,
        way: &Way<State>,
    ) -> (String, Vec<(Here, i64)>, Vec<u32>) {
        let tee = &self.tees[way.states[0].tee as usize];
        let kind = match &tee.how {
            How::Given(_) | How::Moved { .. } => format!("{} own", tee.run.0),
            How::New { stack, .. } => format!("{stack} new"),
        };
        let turns = way
            .states
            .iter()
            .map(|s| match s.here {
                Here::End(_) => (Here::End(0), 0),
                here => (here, (s.heading as f64 / 1e9 / (2.0 * super::lines::STEP_RAD)).round() as i64),
            })
            .collect();
        let mut holes: Vec<u32> = way
            .states
            .windows(2)
            .flat_map(|pair| graph.meets(&pair[0], &pair[1]).holes)
            .map(|h| h.member.0)
            .collect();
        holes.sort_unstable();
        holes.dedup();
        (kind, turns, holes)
    }

    pub(super) fn tee_words(&self, way: &Way<State>) -> String {
        let tee = &self.tees[way.states[0].tee as usize];
        let run = &self.old.rough_in.run(tee.run).label;
        match &tee.how {
            How::Given(name) => format!("{} of {run}, as it is", name.fitting),
            How::Moved { stack, fit } => {
                format!("{} of {run}, set at another height", self.old.job.stacks[*stack].up[*fit].name)
            }
            How::New { .. } => format!("a new {} in {run}", tee.pattern),
        }
    }

    pub(super) fn fittings(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        for (i, state) in way.states.iter().enumerate() {
            if let (Some(last), Some(coupling)) = (i.checked_sub(1), &self.site.coupling) {
                let couplings = graph.meets(&way.states[last], state).couplings;
                found.extend(couplings.iter().map(|_| coupling.pattern.clone()));
            }
            match state.here {
                Here::Tee => {}
                Here::Bend(i) => found.push(graph.bends[i as usize].pattern.clone()),
                Here::End(_) => {
                    if let Goal::Under { pattern, flange, .. } = &self.goal {
                        found.push(pattern.clone());
                        found.extend(flange.clone());
                    }
                }
            }
        }
        found
    }
}
