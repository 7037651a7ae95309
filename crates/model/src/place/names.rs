//! Names: each fitting and fixture has its own, and what a fixture or a provided item names is there.
//!
//! A misspelled plate would shield nothing and a misspelled wall hold nothing, in silence; so they are faults. What runs
//! name is looked up where they are placed.

use super::build::Builder;
use super::trouble::JobFault;
use crate::document::nearest;
use crate::framing::provided::Provided;
use crate::label::Label;
use std::collections::BTreeSet;

impl Builder<'_> {
    /// Tells names that stand twice.
    pub(super) fn names_once(&mut self) {
        let mut seen: BTreeSet<&Label> = BTreeSet::new();
        let runs = self.job.stacks.iter().enumerate().map(|(i, s)| (format!("stacks[{i}].up"), &s.up));
        let branches =
            self.job.branches.iter().enumerate().map(|(i, b)| (format!("branches[{i}].along"), &b.along));
        for (path, fits) in runs.chain(branches) {
            for (i, fit) in fits.iter().enumerate() {
                if !seen.insert(&fit.name) {
                    self.faults.push(JobFault {
                        path: format!("{path}[{i}].name"),
                        message: format!("the name {} stands twice; each fitting needs its own", fit.name),
                        help: None,
                    });
                }
            }
        }
        let mut fixtures: BTreeSet<&Label> = BTreeSet::new();
        for (i, fixture) in self.job.fixtures.iter().enumerate() {
            if !fixtures.insert(&fixture.name) {
                self.faults.push(JobFault {
                    path: format!("fixtures[{i}].name"),
                    message: format!("the name {} stands twice; each fixture needs its own", fixture.name),
                    help: None,
                });
            }
        }
    }

    /// Tells names in fixtures and provided items that nothing has.
    pub(super) fn names_known(&mut self) {
        let job = self.job;
        for (i, fixture) in job.fixtures.iter().enumerate() {
            let path = |field: &str| format!("fixtures[{i}].{field}");
            self.floor_known(&path("floor"), &fixture.floor);
            if let Some(wall) = &fixture.wall {
                self.wall_known(&path("wall"), wall);
            }
            for (field, height) in [("outlet", &fixture.outlet), ("rim", &fixture.rim)] {
                if let Some(height) = height {
                    self.floor_known(&path(field), &height.floor);
                }
            }
        }
        for (i, item) in job.provided.iter().enumerate() {
            let path = |field: &str| format!("provided[{i}].{field}");
            match item {
                Provided::Plate { member, at, .. } => {
                    self.member_known(&path("member"), member);
                    if let Some(height) = at {
                        self.floor_known(&path("at"), &height.floor);
                    }
                }
                Provided::Strap { member, .. } => self.member_known(&path("member"), member),
                Provided::Hole { of, member, .. } => {
                    self.pipe_known(&path("of"), of, false);
                    if let Some(member) = member {
                        self.member_known(&path("member"), member);
                    }
                }
                Provided::Hanger { on, to, .. } => {
                    self.pipe_known(&path("on"), on, false);
                    if let Some(member) = to {
                        self.member_known(&path("to"), member);
                    }
                }
                Provided::Blocking { at, height, .. } => {
                    self.pipe_known(&path("at"), at, true);
                    if let Some(height) = height {
                        self.floor_known(&path("height"), &height.floor);
                    }
                }
                Provided::Cleanout { at } => self.pipe_known(&path("at"), at, false),
                Provided::Access { to, .. } => self.pipe_known(&path("to"), to, true),
                // The frame has told it.
                Provided::DoubledStud { .. } => {}
            }
        }
    }

    fn floor_known(&mut self, path: &str, name: &Label) {
        if self.framed.floor(name).is_none() {
            let names: Vec<Label> = self.framed.floors.iter().map(|f| f.label.clone()).collect();
            self.unknown(path, "floor", name, names.iter());
        }
    }

    fn wall_known(&mut self, path: &str, name: &Label) {
        if self.framed.wall(name).is_none() {
            let names: Vec<Label> = self.framed.walls.iter().map(|w| w.label.clone()).collect();
            self.unknown(path, "wall", name, names.iter());
        }
    }

    /// Members are many: only the nearest name is told.
    fn member_known(&mut self, path: &str, name: &Label) {
        if self.framed.member(name).is_none() {
            let names: Vec<&str> = self.framed.members.iter().map(|m| m.label.as_str()).collect();
            let help = nearest(name.as_str(), &names).map(|n| format!("did you mean `{n}`?"));
            let message = format!(
                "there is no member {name}; a member is called by its wall or floor, such as `north stud 3`"
            );
            self.faults.push(JobFault { path: path.into(), message, help });
        }
    }

    /// A stack, branch, fitting or piece; a fixture too where that makes sense.
    fn pipe_known(&mut self, path: &str, name: &Label, or_fixture: bool) {
        let job = self.job;
        let runs = job.stacks.iter().map(|s| &s.name).chain(job.branches.iter().map(|b| &b.name));
        let fits = job.stacks.iter().flat_map(|s| &s.up).chain(job.branches.iter().flat_map(|b| &b.along));
        let mut known: Vec<&Label> = runs.chain(fits.map(|f| &f.name)).collect();
        if or_fixture {
            known.extend(job.fixtures.iter().map(|f| &f.name));
        }
        // Pieces are named by their ends; where placing broke off, not all of them are there.
        let piece = self.parts.iter().any(|p| p.label == *name)
            || (!self.faults.is_empty() && name.as_str().contains(" to "));
        if !piece && !known.contains(&name) {
            let what =
                if or_fixture { "fixture, fitting, stack or branch" } else { "fitting, stack or branch" };
            let known: Vec<Label> = known.into_iter().cloned().collect();
            self.unknown(path, what, name, known.iter());
        }
    }
}
