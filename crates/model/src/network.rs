//! Who joins whom and which way it flows: read by every rule about drains and vents.

use crate::place::part::{Joint, JointId, PartId};
use std::collections::BTreeSet;

/// The directed network of one job. Flow runs from fixtures towards the bases.
#[derive(Debug, Clone, Default)]
pub struct Network {
    /// By part: the joint towards the base; none for a base.
    pub down: Vec<Option<JointId>>,
    /// By part: joints away from the base, by number.
    pub up: Vec<Vec<JointId>>,
    /// By part: waste passes through it.
    pub wet: Vec<bool>,
    /// By part: open air can be reached through it going away from the base, along dry or wet pipe.
    pub airy: Vec<bool>,
    ends: Vec<(PartId, PartId)>,
}

/// What stands at the far end of a run, as the network sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Terminal {
    /// A fixture drains in here.
    Fixture,
    /// Open air, or a valve that lets air in.
    Air,
}

impl Network {
    /// Joins parts up. `terminals` are the parts at the far end of runs.
    pub fn of(parts: usize, joints: &[Joint], terminals: &[(PartId, Terminal)]) -> Self {
        let mut down = vec![None; parts];
        let mut up = vec![Vec::new(); parts];
        for joint in joints.iter().filter(|j| !j.closing) {
            down[joint.high.0.0 as usize] = Some(joint.id);
            up[joint.low.0.0 as usize].push(joint.id);
        }
        let ends: Vec<(PartId, PartId)> = joints.iter().map(|j| (j.low.0, j.high.0)).collect();
        let mut network = Self { down, up, wet: vec![false; parts], airy: vec![false; parts], ends };
        for (part, terminal) in terminals {
            let marks = match terminal {
                Terminal::Fixture => &mut network.wet,
                Terminal::Air => &mut network.airy,
            };
            mark_down(&network.down, &network.ends, marks, *part);
        }
        // A vent tied back into another reaches open air through it: what carries the tie is airy, and so is the
        // way down from it. Ties may hang on ties, so this is repeated until nothing changes.
        loop {
            let mut changed = false;
            for joint in joints.iter().filter(|j| j.closing) {
                let (through, tied) = (joint.low.0, joint.high.0);
                if network.airy[through.0 as usize] && !network.airy[tied.0 as usize] {
                    mark_down(&network.down, &network.ends, &mut network.airy, tied);
                    changed = true;
                }
            }
            if !changed {
                return network;
            }
        }
    }

    /// The part on the base's side.
    pub fn below(&self, part: PartId) -> Option<PartId> {
        self.down[part.0 as usize].map(|j| self.ends[j.0 as usize].0)
    }

    /// The parts away from the base.
    pub fn above(&self, part: PartId) -> impl Iterator<Item = (JointId, PartId)> + '_ {
        self.up[part.0 as usize].iter().map(|j| (*j, self.ends[j.0 as usize].1))
    }

    /// Whether a part lies beyond a joint, seen from the base.
    pub fn beyond(&self, joint: JointId, part: PartId) -> bool {
        let far = self.ends[joint.0 as usize].1;
        let mut at = Some(part);
        while let Some(p) = at {
            if p == far {
                return true;
            }
            at = self.below(p);
        }
        false
    }

    /// The part and everything away from the base from it.
    pub fn subtree(&self, part: PartId) -> BTreeSet<PartId> {
        let mut seen = BTreeSet::new();
        let mut todo = vec![part];
        while let Some(p) = todo.pop() {
            if seen.insert(p) {
                todo.extend(self.above(p).map(|(_, q)| q));
            }
        }
        seen
    }
}

fn mark_down(down: &[Option<JointId>], ends: &[(PartId, PartId)], marks: &mut [bool], from: PartId) {
    let mut at = Some(from);
    while let Some(part) = at {
        let i = part.0 as usize;
        if marks[i] {
            return;
        }
        marks[i] = true;
        at = down[i].map(|j| ends[j.0 as usize].0);
    }
}
