//! Building the rough-in: runs in the order they hang on each other, then both placements.

use super::end::Terminals;
use super::landing::landings;
use super::part::{Joint, JointId, Leg, Part, PartId, PartKind, RunId};
use super::rough_in::{Placed, RoughIn, Run, RunKind};
use super::run::Start;
use super::settle::bodies;
use super::trouble::{JobFault, Trouble};
use crate::catalog::{Catalog, material::Material};
use crate::document::nearest;
use crate::framing::frame::Framed;
use crate::job::height::Height;
use crate::job::pipes::PortName;
use crate::job::point::PlanPoint;
use crate::job::survey::Correction;
use crate::job::{Job, Placement};
use crate::label::Label;
use crate::network::Network;
use crate::units::{Angle, Length, NominalSize};
use nalgebra::{Isometry3, Point2};
use std::collections::{BTreeMap, BTreeSet};

/// How a part hangs on the one before it, without corrections.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub parent: PartId,
    pub parent_from_part: Isometry3<f64>,
    pub joint: JointId,
    /// The part's own port in that joint.
    pub entered: usize,
}

/// A correction and where it stands in the job.
#[derive(Debug, Clone)]
pub(super) struct PlacedCorrection {
    pub what: Correction,
    pub path: String,
}

pub(super) struct Builder<'a> {
    pub job: &'a Job,
    pub catalog: &'a Catalog,
    pub framed: &'a Framed,
    pub solve_on: Placement,
    pub parts: Vec<Part>,
    pub joints: Vec<Joint>,
    pub legs: Vec<Leg>,
    pub runs: Vec<Run>,
    /// By part, in the placement the cuts are solved on.
    pub world: Vec<Isometry3<f64>>,
    pub links: Vec<Option<Link>>,
    pub roots: BTreeMap<PartId, (Isometry3<f64>, Isometry3<f64>)>,
    /// By the part beyond the joint that is turned.
    pub corrections: BTreeMap<PartId, PlacedCorrection>,
    pub taken: BTreeSet<(PartId, usize)>,
    pub fittings: BTreeMap<Label, PartId>,
    pub terminals: Terminals,
    /// Corners that are not made: the fitting, the turn asked, the turn it makes.
    pub corners: Vec<(Label, Angle, Angle)>,
    pub troubles: Vec<Trouble>,
    pub faults: Vec<JobFault>,
}

/// Places a job: frames its house, composes its parts, and puts them where they are in both placements.
///
/// # Errors
/// All faults that leave nothing to place: unknown names, ports used twice, ends that don't fit each other.
pub fn place(job: &Job, catalog: &Catalog) -> Result<RoughIn, Vec<JobFault>> {
    let (framed, frame_troubles) = Framed::with_provided(&job.house, &job.provided);
    let mut builder = Builder {
        job,
        catalog,
        framed: &framed,
        solve_on: job.cut_on,
        parts: Vec::new(),
        joints: Vec::new(),
        legs: Vec::new(),
        runs: Vec::new(),
        world: Vec::new(),
        links: Vec::new(),
        roots: BTreeMap::new(),
        corrections: BTreeMap::new(),
        taken: BTreeSet::new(),
        fittings: BTreeMap::new(),
        terminals: Terminals::default(),
        corners: Vec::new(),
        troubles: Vec::new(),
        faults: frame_troubles
            .into_iter()
            .map(|t| JobFault { path: t.path, message: t.message, help: t.help })
            .collect(),
    };
    builder.names_once();
    builder.stacks();
    builder.branches();
    builder.names_known();
    builder.tell_corners();
    if !builder.faults.is_empty() {
        return Err(builder.faults);
    }
    let drawn = builder.settle(Placement::Drawn);
    let found = builder.settle(Placement::Found);
    builder.check_corrections();
    if !builder.faults.is_empty() {
        return Err(builder.faults);
    }
    let network = Network::of(builder.parts.len(), &builder.joints, &builder.terminals.list);
    let placed = |placement, world: Vec<Isometry3<f64>>| {
        let bodies = builder.parts.iter().zip(&world).map(|(p, w)| builder.bodies_of(p, w)).collect();
        Placed { placement, world_from_part: world, bodies, landings: Vec::new(), closures: Vec::new() }
    };
    let (drawn, found) = (placed(Placement::Drawn, drawn), placed(Placement::Found, found));
    let Builder { parts, joints, legs, runs, troubles, terminals, .. } = builder;
    let mut rough_in = RoughIn { framed, runs, parts, joints, legs, network, drawn, found, troubles };
    for placement in [Placement::Drawn, Placement::Found] {
        let placed = rough_in.placed(placement).clone();
        let landings = landings(job, catalog, &rough_in, &placed);
        let closures = super::closure::closures(&rough_in, &placed, &terminals.ties);
        let placed = match placement {
            Placement::Drawn => &mut rough_in.drawn,
            Placement::Found => &mut rough_in.found,
        };
        placed.landings = landings;
        placed.closures = closures;
    }
    Ok(rough_in)
}

impl Builder<'_> {
    fn stacks(&mut self) {
        let job = self.job;
        for (index, stack) in job.stacks.iter().enumerate() {
            let run = RunId(self.runs.len() as u32);
            let Some(based) = self.base(stack, index, run) else { continue };
            let corrected = Vec::new();
            let kind =
                RunKind::Stack { index, base: based.part, lean: based.lean, fits: based.fits, corrected };
            self.runs.push(Run {
                id: run,
                label: stack.name.clone(),
                kind,
                fits: Vec::new(),
                last_piece: None,
                fixture: None,
                system: stack.system,
            });
            self.run(Start {
                run,
                path: format!("stacks[{index}].up"),
                from: (based.part, 0),
                fits: &stack.up,
                end: &stack.end,
                end_path: format!("stacks[{index}].end"),
                material: stack.material,
                grade: None,
                corrections: stack
                    .corrections
                    .iter()
                    .enumerate()
                    .map(|(i, c)| PlacedCorrection {
                        what: c.clone(),
                        path: format!("stacks[{index}].corrections[{i}]"),
                    })
                    .collect(),
            });
        }
    }

    /// Branches wait until the fitting they leave, and the one they are tied to, are placed.
    fn branches(&mut self) {
        let job = self.job;
        let mut waiting: Vec<usize> = (0..job.branches.len()).collect();
        while !waiting.is_empty() {
            let ready: Vec<usize> = waiting
                .iter()
                .copied()
                .filter(|i| {
                    let branch = &job.branches[*i];
                    let tie = match &branch.end {
                        crate::job::pipes::End::Tie { to } => Some(&to.fitting),
                        _ => None,
                    };
                    self.fittings.contains_key(&branch.from.fitting)
                        && tie.is_none_or(|t| self.fittings.contains_key(t))
                })
                .collect();
            if ready.is_empty() {
                break;
            }
            for index in ready {
                waiting.retain(|w| *w != index);
                self.branch(index);
            }
        }
        // If stacks failed, their fittings are unknown for that reason alone.
        if self.runs.len() < job.stacks.len() {
            return;
        }
        let known: Vec<Label> = job
            .stacks
            .iter()
            .flat_map(|s| &s.up)
            .chain(job.branches.iter().flat_map(|b| &b.along))
            .map(|f| f.name.clone())
            .collect();
        for index in waiting {
            let branch = &job.branches[index];
            let path = format!("branches[{index}].from");
            if !known.contains(&branch.from.fitting) {
                self.unknown(&path, "fitting", &branch.from.fitting, known.iter());
            } else if let crate::job::pipes::End::Tie { to } = &branch.end
                && !known.contains(&to.fitting)
            {
                self.unknown(&format!("branches[{index}].end.to"), "fitting", &to.fitting, known.iter());
            } else if self.faults.is_empty() {
                self.faults.push(JobFault {
                    path,
                    message: format!(
                        "branch {} hangs on a ring of branches; one must start at a stack",
                        branch.name
                    ),
                    help: None,
                });
            }
        }
    }

    fn branch(&mut self, index: usize) {
        let branch = &self.job.branches[index];
        let Some(from) = self.free_port(&branch.from, &format!("branches[{index}].from")) else { return };
        let run = RunId(self.runs.len() as u32);
        self.runs.push(Run {
            id: run,
            label: branch.name.clone(),
            kind: RunKind::Branch { index, from },
            fits: Vec::new(),
            last_piece: None,
            fixture: None,
            system: branch.system,
        });
        self.run(Start {
            run,
            path: format!("branches[{index}].along"),
            from,
            fits: &branch.along,
            end: &branch.end,
            end_path: format!("branches[{index}].end"),
            material: branch.material,
            grade: self.branch_grade(index),
            corrections: Vec::new(),
        });
    }

    /// The port a name means; without a port's name the one that is left.
    pub(super) fn free_port(&mut self, name: &PortName, path: &str) -> Option<(PartId, usize)> {
        let id = *self.fittings.get(&name.fitting)?;
        let part = self.parts[id.0 as usize].clone();
        let pattern = part.pattern()?;
        let free: Vec<usize> = (0..pattern.ports.len()).filter(|p| !self.taken.contains(&(id, *p))).collect();
        let list = |ports: &[usize]| {
            ports.iter().map(|p| pattern.ports[*p].name.to_string()).collect::<Vec<_>>().join(", ")
        };
        let message = match &name.port {
            Some(port) => match pattern.ports.iter().position(|p| p.name == *port) {
                Some(at) if free.contains(&at) => return Some((id, at)),
                Some(_) if free.is_empty() => {
                    format!("{name} is taken, and no other port of {} is free", name.fitting)
                }
                Some(_) => format!("{name} is taken; free on {}: {}", name.fitting, list(&free)),
                None => format!("{} has no port {port}; free: {}", name.fitting, list(&free)),
            },
            None => match free.as_slice() {
                [only] => return Some((id, *only)),
                [] => format!("{} has no free port", name.fitting),
                _ => format!("{} has more than one free port; name one: {}", name.fitting, list(&free)),
            },
        };
        self.faults.push(JobFault { path: path.into(), message, help: None });
        None
    }

    /// A plan point in inches.
    pub(super) fn plan_point(&mut self, point: &PlanPoint, path: &str) -> Option<Point2<f64>> {
        let job = self.job;
        match point {
            PlanPoint::Under { fixture } => {
                let names: Vec<Label> = job.fixtures.iter().map(|f| f.name.clone()).collect();
                match job.fixtures.iter().find(|f| f.name == *fixture) {
                    Some(found) if !matches!(found.at.0, PlanPoint::Under { .. }) => {
                        self.plan_point(&found.at.0, path)
                    }
                    Some(_) => {
                        let message = format!("{fixture} stands under another fixture; give its own place");
                        self.faults.push(JobFault { path: path.into(), message, help: None });
                        None
                    }
                    None => {
                        self.unknown(path, "fixture", fixture, names.iter());
                        None
                    }
                }
            }
            PlanPoint::OffWall { wall, .. } if self.framed.wall(wall).is_none() => {
                let names: Vec<Label> = self.framed.walls.iter().map(|w| w.label.clone()).collect();
                self.unknown(path, "wall", wall, names.iter());
                None
            }
            other => self.framed.point(other),
        }
    }

    /// A height in inches over the datum.
    pub(super) fn height_z(&mut self, height: &Height, path: &str) -> Option<f64> {
        let z = self.framed.height(height);
        if z.is_none() {
            let names: Vec<Label> = self.framed.floors.iter().map(|f| f.label.clone()).collect();
            self.unknown(path, "floor", &height.floor, names.iter());
        }
        z
    }

    pub(super) fn outside(&mut self, material: Material, size: NominalSize, path: &str) -> Option<Length> {
        let pipe = self.catalog.pipe(material, size).map(|p| p.outside);
        if pipe.is_none() {
            let message = format!("the catalog has no {size} in {material} pipe");
            self.faults.push(JobFault { path: path.into(), message, help: None });
        }
        pipe
    }

    /// Notes an unknown name with the nearest known.
    pub(super) fn unknown<'n>(
        &mut self,
        path: &str,
        what: &str,
        name: &Label,
        known: impl Iterator<Item = &'n Label>,
    ) {
        let known: Vec<&str> = known.map(Label::as_str).collect();
        let help = nearest(name.as_str(), &known).map(|n| format!("did you mean `{n}`?"));
        // A long list says less than the nearest name.
        let shown = known.len().min(12);
        let more =
            if known.len() > shown { format!(" and {} more", known.len() - shown) } else { String::new() };
        let message = format!("there is no {what} {name}; known: {}{more}", known[..shown].join(", "));
        self.faults.push(JobFault { path: path.into(), message, help });
    }

    pub(super) fn note_turn(&mut self, joint: JointId, turned_rad: f64) {
        self.joints[joint.0 as usize].turned = Angle::radians(turned_rad);
    }

    /// What the corrections ask of their joints, against what those take.
    fn check_corrections(&mut self) {
        let ids: Vec<PartId> = self.corrections.keys().copied().collect();
        for id in ids {
            let Some(link) = &self.links[id.0 as usize] else { continue };
            let joint = &self.joints[link.joint.0 as usize];
            let limit = self.catalog.deflection_limit(joint.kind);
            if joint.turned.to_radians() > limit.to_radians() + crate::tolerance::SLACK {
                self.troubles.push(Trouble::Correction { joint: joint.id, asks: joint.turned, limit });
            }
        }
    }

    fn bodies_of(&self, part: &Part, world: &Isometry3<f64>) -> Vec<crate::solid::Body> {
        let hub = match &part.kind {
            PartKind::Existing { size, outside, .. } => {
                self.catalog.socket(part.material, *size).map_or(*outside, |s| s.hub_outside).to_inches()
            }
            _ => 0.0,
        };
        bodies(part, hub, || part.pattern().map_or_else(Vec::new, |p| p.bodies(self.catalog)), world)
    }
}
