//! The network as air sees it: which parts carry whose waste, and where dry pipe ends in the open.

use super::setting::Setting;
use std::collections::{BTreeMap, BTreeSet};
use truefall_model::job::pipes::End;
use truefall_model::place::{JointId, PartId, RoughIn, Run, RunKind};

/// Where dry pipe lets air in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AirEnd {
    /// Out through the roof.
    Roof,
    /// By an air admittance valve.
    Valve,
}

/// One joint as seen from one of its parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// The part's own port.
    pub port: usize,
    /// The part beyond.
    pub part: PartId,
    /// The port of the part beyond.
    pub its_port: usize,
    /// The joint.
    pub joint: JointId,
}

/// Who joins whom, whose waste passes where, and where air comes in.
#[derive(Debug, Clone, Default)]
pub struct Air {
    /// By part: its joints.
    pub links: Vec<Vec<Link>>,
    /// By part: the fixtures whose waste passes through it.
    pub waste: Vec<BTreeSet<usize>>,
    /// Parts that end in the open, with the port for a valve that is no part of its own.
    pub ends: BTreeMap<PartId, (AirEnd, Option<usize>)>,
    /// Parts where a run ends shut or is left for later.
    pub shut: BTreeMap<PartId, &'static str>,
}

impl Air {
    /// Reads the network.
    pub fn of(setting: &Setting<'_>) -> Self {
        let rough_in = setting.rough_in;
        let mut links = vec![Vec::new(); rough_in.parts.len()];
        for joint in &rough_in.joints {
            let ((low, lp), (high, hp)) = (joint.low, joint.high);
            links[low.0 as usize].push(Link { port: lp, part: high, its_port: hp, joint: joint.id });
            links[high.0 as usize].push(Link { port: hp, part: low, its_port: lp, joint: joint.id });
        }
        let mut air = Self {
            links,
            waste: vec![BTreeSet::new(); rough_in.parts.len()],
            ends: BTreeMap::new(),
            shut: BTreeMap::new(),
        };
        for run in &rough_in.runs {
            let (end, from) = end_of(setting, run);
            let last = run.last_piece.or_else(|| run.fits.last().map(|f| f.1));
            if let Some(fixture) = run.fixture {
                let start = last.unwrap_or(from.0);
                let way = std::iter::successors(Some(start), |p| rough_in.network.below(*p));
                for part in way {
                    air.waste[part.0 as usize].insert(fixture);
                }
            }
            let part = last.unwrap_or(from.0);
            match end {
                End::Roof { .. } => {
                    air.ends.insert(part, (AirEnd::Roof, None));
                }
                End::Valve {} => {
                    let port = if last.is_some() { air.open_port(rough_in, part) } else { Some(from.1) };
                    air.ends.insert(part, (AirEnd::Valve, port));
                }
                End::Capped {} => {
                    air.shut.insert(part, "is capped");
                }
                End::Open {} => {
                    air.shut.insert(part, "is left open for later work");
                }
                End::Fixture { .. } | End::Tie { .. } => {}
            }
        }
        air
    }

    /// The port a valve sits on: of those not joined the one the run would go on through.
    fn open_port(&self, rough_in: &RoughIn, part: PartId) -> Option<usize> {
        let pattern = rough_in.part(part).pattern()?;
        let free = |port: &usize| self.links_of(part).iter().all(|l| l.port != *port);
        pattern.leave.into_iter().chain(0..pattern.ports.len()).find(free)
    }

    /// The joints of a part.
    pub fn links_of(&self, part: PartId) -> &[Link] {
        &self.links[part.0 as usize]
    }

    /// The fixtures whose waste passes through a part.
    pub fn waste_of(&self, part: PartId) -> &BTreeSet<usize> {
        &self.waste[part.0 as usize]
    }

    /// Whether no waste passes through a part.
    pub fn is_dry(&self, part: PartId) -> bool {
        self.waste_of(part).is_empty()
    }
}

fn end_of<'j>(setting: &Setting<'j>, run: &Run) -> (&'j End, (PartId, usize)) {
    match run.kind {
        RunKind::Stack { index, base, .. } => (&setting.job.stacks[index].end, (base, 0)),
        RunKind::Branch { index, from } => (&setting.job.branches[index].end, from),
    }
}
