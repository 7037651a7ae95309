//! Where a route may start: the tee the fixture hangs on now, the same tee moved, or a new one cut into a stack.

use super::cost::Weights;
use super::leg::LegEnd;
use super::turn::pattern;
use nalgebra::{Point2, Vector2};
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::material::Material;
use truefall_model::catalog::pattern::{Pattern, PortEnd};
use truefall_model::job::Job;
use truefall_model::job::clock::Clock;
use truefall_model::job::pipes::PortName;
use truefall_model::label::Label;
use truefall_model::place::{PartId, Placed, RoughIn, RunId, RunKind};
use truefall_model::units::{Length, NominalSize};

/// How the tee comes to be where it is.
#[derive(Debug, Clone, PartialEq)]
pub enum How {
    /// It is there.
    Given(PortName),
    /// A tee of a stack set at another height.
    Moved {
        /// Index of the stack in the job.
        stack: usize,
        /// Index of the tee in it.
        fit: usize,
    },
    /// Cut into a stack in front of that fit.
    New {
        /// Index of the stack in the job.
        stack: usize,
        /// Place it will have.
        at: usize,
    },
    /// A fitting of the fixture's own run that others hang on: it stays, and the run goes on from there.
    Kept {
        /// Index of the branch in the job.
        branch: usize,
        /// Index of the fitting in it.
        fit: usize,
    },
    /// A wye cut into a drain that lies, its branch rolled level.
    Wye {
        /// Index of the branch in the job.
        branch: usize,
        /// Place it will have.
        at: usize,
        /// Level distance from the centre before to its centre.
        level: Length,
        /// Where its branch is clocked.
        clock: Clock,
    },
}

/// A place to start from.
#[derive(Debug, Clone, PartialEq)]
pub struct Tee {
    /// How it comes to be there.
    pub how: How,
    /// The stack or branch it is in.
    pub run: RunId,
    /// The pattern.
    pub pattern: String,
    /// Its centre on the plan, as drawn.
    pub at: Point2<f64>,
    /// Heights its centre may have, the nearest to where it is now first.
    pub heights: Vec<f64>,
    /// Where its branch heads, where that is not free.
    pub heading: Option<Vector2<f64>>,
    /// Its branch.
    pub end: LegEnd,
    /// What it costs to have it there.
    pub cost: f64,
    /// Other runs that hang on the same fitting, which a route may touch there.
    pub beside: Vec<RunId>,
}

/// What tees are looked for with.
#[derive(Debug)]
pub struct Seeking<'a> {
    /// The job.
    pub job: &'a Job,
    /// The job placed.
    pub rough_in: &'a RoughIn,
    /// Fittings.
    pub catalog: &'a Catalog,
    /// The arm's material and size.
    pub pipe: (Material, NominalSize),
    /// The weights.
    pub weights: &'a Weights,
    /// The stack or fitting the route must start from, where one was named.
    pub to: Option<&'a Label>,
    /// The port the fixture's run leaves now, and other runs of the job left in place.
    pub now: Option<&'a PortName>,
    /// Heights to look at, least and greatest, and their step.
    pub heights: (f64, f64, f64),
    /// The branch and the fitting of it that the run goes on from, where others hang on that.
    pub kept: Option<(usize, usize)>,
}

/// How far apart wyes are looked at along a drain, inches.
const WYE_STEP_IN: f64 = 8.0;

impl Seeking<'_> {
    /// All places to start from.
    pub fn tees(&self) -> Vec<Tee> {
        if let Some((branch, fit)) = self.kept {
            return self.kept_tee(branch, fit).into_iter().collect();
        }
        let mut tees: Vec<Tee> = self.given().into_iter().collect();
        tees.extend(self.free());
        tees.extend(self.wyes());
        for (index, stack) in self.job.stacks.iter().enumerate() {
            if self.to.is_some_and(|to| *to != stack.name && !stack.up.iter().any(|f| f.name == *to)) {
                continue;
            }
            for at in 0..=stack.up.len() {
                tees.extend(self.moved(index, at));
                if self.to.is_none_or(|to| *to == stack.name) {
                    tees.extend(self.cut_in(index, at));
                }
            }
        }
        tees.retain(|tee| !tee.heights.is_empty());
        tees
    }

    fn placed(&self) -> &Placed {
        &self.rough_in.drawn
    }

    fn part(&self, name: &Label) -> Option<PartId> {
        let fits = self.rough_in.runs.iter().flat_map(|r| r.fits.iter().map(|f| f.1));
        fits.into_iter().find(|part| self.rough_in.part(*part).label == *name)
    }

    /// The port the fixture hangs on, or the free one of a fitting that was named.
    fn given(&self) -> Option<Tee> {
        let named = self.to.map(|to| match to.as_str().split_once('.') {
            Some((fitting, port)) => PortName { fitting: Label::new(fitting), port: Some(Label::new(port)) },
            None => PortName { fitting: to.clone(), port: None },
        });
        let name = match (named, self.now) {
            (Some(named), Some(now))
                if self
                    .job
                    .stacks
                    .iter()
                    .any(|s| s.name == named.fitting && s.up.iter().any(|f| f.name == now.fitting)) =>
            {
                now.clone()
            }
            (Some(named), _) => named,
            (None, now) => now?.clone(),
        };
        let part = self.part(&name.fitting)?;
        let pattern = self.rough_in.part(part).pattern()?;
        let port = match &name.port {
            Some(port) => pattern.ports.iter().position(|p| p.name == *port)?,
            None => pattern.ports.iter().position(|p| p.name.as_str() == "branch")?,
        };
        if pattern.ports[port].size != self.pipe.1 || pattern.ports[port].end != PortEnd::Hub {
            return None;
        }
        let axis = self.placed().axis(self.rough_in, part, port);
        let upright = pattern.family == Family::SanitaryTee
            && self.placed().axis(self.rough_in, part, pattern.enter).z < -0.996;
        let clocked = self.fit(&name.fitting).is_some_and(|fit| fit.clock.is_some());
        let origin = self.placed().origin(part);
        let heading = (!upright || clocked).then(|| axis.xy().try_normalize(1e-6)).flatten();
        Some(Tee {
            run: self.rough_in.part(part).run,
            pattern: pattern.name.to_string(),
            at: origin.xy(),
            heights: vec![origin.z],
            heading,
            end: branch_end(pattern, port),
            cost: 0.0,
            beside: Vec::new(),
            how: How::Given(name),
        })
    }

    /// Whether a run may be started from, by what was named.
    fn named(&self, run: &Label, fitting: Option<&Label>) -> bool {
        self.to.is_none_or(|to| to == run || fitting.is_some_and(|f| f == to))
    }

    /// The fitting of the own run that others hang on, by the port the run goes on through.
    fn kept_tee(&self, branch: usize, fit: usize) -> Option<Tee> {
        let own = &self.job.branches[branch];
        let item = &own.along[fit];
        let part = self.part(&item.name)?;
        let pattern = self.rough_in.part(part).pattern()?;
        let port = match &item.leave {
            Some(name) => pattern.ports.iter().position(|p| p.name == *name)?,
            None => pattern.leave?,
        };
        let out = &pattern.ports[port];
        let axis = self.placed().axis(self.rough_in, part, port);
        if out.size != self.pipe.1 || out.end != PortEnd::Hub || axis.z.abs() > 0.3 {
            return None;
        }
        let origin = self.placed().origin(part);
        Some(Tee {
            how: How::Kept { branch, fit },
            run: self.rough_in.part(part).run,
            pattern: pattern.name.to_string(),
            at: origin.xy(),
            heights: vec![origin.z],
            heading: axis.xy().try_normalize(1e-6),
            end: branch_end(pattern, port),
            cost: 0.0,
            beside: self.beside(&item.name),
        })
    }

    /// The runs that hang on a fitting.
    fn beside(&self, fitting: &Label) -> Vec<RunId> {
        let hung = self.job.branches.iter().filter(|b| b.from.fitting == *fitting);
        hung.filter_map(|b| self.rough_in.runs.iter().find(|r| r.label == b.name)).map(|r| r.id).collect()
    }

    /// Branches of drains that nothing hangs on, plugged or not.
    fn free(&self) -> Vec<Tee> {
        let drains = [Family::SanitaryTee, Family::Wye, Family::Combination];
        let mut found = Vec::new();
        for run in &self.rough_in.runs {
            for (_, part) in &run.fits {
                let it = self.rough_in.part(*part);
                let Some(pattern) = it.pattern() else { continue };
                let upright = pattern.family == Family::SanitaryTee
                    && self.placed().axis(self.rough_in, *part, pattern.enter).z < -0.996;
                // What stands on a drain, above the last branch, may carry waste too.
                let wet = |part: PartId| self.rough_in.network.wet[part.0 as usize];
                let over_a_drain = upright
                    && matches!(run.kind, RunKind::Stack { .. })
                    && run.fits.iter().any(|(_, other)| wet(*other));
                if !(wet(*part) || over_a_drain)
                    || !drains.contains(&pattern.family)
                    || !self.named(&run.label, Some(&it.label))
                    || self.now.is_some_and(|now| now.fitting == it.label)
                {
                    continue;
                }
                for (port, own) in pattern.ports.iter().enumerate() {
                    let joined = self
                        .rough_in
                        .joints
                        .iter()
                        .any(|j| j.low == (*part, port) || j.high == (*part, port));
                    if joined
                        || own.size != self.pipe.1
                        || own.end != PortEnd::Hub
                        || own.name.as_str() != "branch"
                    {
                        continue;
                    }
                    let axis = self.placed().axis(self.rough_in, *part, port);
                    if axis.z.abs() > 0.3 {
                        continue;
                    }
                    let clocked = self.fit(&it.label).is_some_and(|fit| fit.clock.is_some());
                    let origin = self.placed().origin(*part);
                    found.push(Tee {
                        how: How::Given(PortName { fitting: it.label.clone(), port: Some(own.name.clone()) }),
                        run: run.id,
                        pattern: pattern.name.to_string(),
                        at: origin.xy(),
                        heights: vec![origin.z],
                        heading: (!upright || clocked).then(|| axis.xy().try_normalize(1e-6)).flatten(),
                        end: branch_end(pattern, port),
                        cost: 0.0,
                        beside: Vec::new(),
                    });
                }
            }
        }
        found
    }

    /// Wyes that may be cut into drains that lie, the fixture's own left alone.
    fn wyes(&self) -> Vec<Tee> {
        let mut found = Vec::new();
        let rough_in = self.rough_in;
        // Each place is one more to start from: only where a drain was named.
        if self.to.is_none() {
            return found;
        }
        for leg in &rough_in.legs {
            let run = rough_in.run(leg.run);
            let RunKind::Branch { index, .. } = run.kind else { continue };
            let own = self.now.is_some() && Some(&self.job.branches[index].from) == self.now;
            let (Some(piece), false) = (leg.piece, own) else { continue };
            let axis = rough_in.leg_axis(self.placed(), leg.id);
            if !rough_in.network.wet[piece.0 as usize] || axis.z.abs() > 0.3 || !self.named(&run.label, None)
            {
                continue;
            }
            let sizes = [leg.size, leg.size, self.pipe.1];
            let material = self.job.branches[index].material;
            let Some(wye) = pattern(self.catalog, Family::Wye, material, &sizes) else { continue };
            let (low, _) = rough_in.leg_ends(self.placed(), leg.id);
            // The place in the list: behind the fitting the leg starts at.
            let at = run.fits.iter().position(|f| f.1 == leg.low).map_or(0, |i| i + 1);
            let next = self.job.branches[index].along.get(at);
            if next.is_some_and(|fit| fit.cut.is_some() || fit.centre.is_some()) {
                continue;
            }
            let start = self.placed().stop(rough_in, piece, 0);
            let end = self.placed().stop(rough_in, piece, 1);
            let out = axis.xy().normalize();
            let room = |i: usize| wye.ports[i].stop.coords.norm() + wye.ports[i].socket.to_inches();
            let Some(leave) = wye.leave else { continue };
            let (from, to) = (
                (start - low).xy().norm() + 2.0 + room(wye.enter),
                (end - low).xy().norm() - 2.0 - room(leave),
            );
            let mut level = (from * 16.0).ceil() / 16.0;
            while level <= to {
                let share = level / axis.xy().norm();
                let centre = low + axis * share;
                // Looking downstream, against the way it is listed, what is on the left is on the right.
                for (side, hour) in [(1.0, 3.0), (-1.0, 9.0)] {
                    let heading = nalgebra::Rotation2::new(side * std::f64::consts::FRAC_PI_4) * out;
                    found.push(Tee {
                        how: How::Wye {
                            branch: index,
                            at,
                            level: Length::inches(level),
                            clock: Clock::at(truefall_model::units::Angle::degrees(hour * 30.0)),
                        },
                        run: run.id,
                        pattern: wye.name.to_string(),
                        at: centre.xy(),
                        heights: vec![centre.z],
                        heading: Some(heading),
                        end: branch_end(
                            wye,
                            wye.ports.iter().position(|p| p.name.as_str() == "branch").unwrap_or(2),
                        ),
                        cost: self.weights.new_tee + 3.0 * self.weights.joint,
                        beside: Vec::new(),
                    });
                }
                level += WYE_STEP_IN;
            }
        }
        found
    }

    fn fit(&self, name: &Label) -> Option<&truefall_model::job::pipes::Fit> {
        let stacks = self.job.stacks.iter().flat_map(|s| &s.up);
        stacks.chain(self.job.branches.iter().flat_map(|b| &b.along)).find(|f| f.name == *name)
    }

    /// The tee the fixture hangs on, at other heights.
    fn moved(&self, stack: usize, fit: usize) -> Option<Tee> {
        let up = &self.job.stacks[stack].up;
        let own = up.get(fit)?;
        if self.now.is_none_or(|now| now.fitting != own.name) || own.height.is_none() {
            return None;
        }
        let part = self.part(&own.name)?;
        let pattern = self.rough_in.part(part).pattern()?;
        if pattern.family != Family::SanitaryTee {
            return None;
        }
        let origin = self.placed().origin(part);
        let heights = self.between(stack, fit, fit + 1, pattern, origin.z)?;
        Some(Tee {
            how: How::Moved { stack, fit },
            run: self.rough_in.part(part).run,
            pattern: pattern.name.to_string(),
            at: origin.xy(),
            heights,
            heading: None,
            end: branch_end(pattern, 2),
            cost: self.weights.moved_tee,
            beside: Vec::new(),
        })
    }

    /// A stack of the job as it was placed, and what it stands on.
    fn stack(&self, stack: usize) -> Option<(&truefall_model::place::Run, truefall_model::place::PartId)> {
        self.rough_in.runs.iter().find_map(|run| match run.kind {
            RunKind::Stack { index, base, .. } if index == stack => Some((run, base)),
            _ => None,
        })
    }

    fn cut_in(&self, stack: usize, at: usize) -> Option<Tee> {
        let (run, base) = self.stack(stack)?;
        let below = match at.checked_sub(1) {
            Some(i) => run.fits.get(i)?.1,
            None => base,
        };
        let part = self.rough_in.part(below);
        let size = match part.pattern() {
            Some(pattern) => pattern.ports[pattern.leave?].size,
            None => part.size(),
        };
        let material = self.job.stacks[stack].material;
        let pattern = pattern(self.catalog, Family::SanitaryTee, material, &[size, size, self.pipe.1])?;
        let low = self.placed().origin(below);
        let heights = self.between(stack, at, at, pattern, low.z)?;
        Some(Tee {
            how: How::New { stack, at },
            run: run.id,
            pattern: pattern.name.to_string(),
            at: low.xy(),
            heights,
            heading: None,
            end: branch_end(pattern, 2),
            cost: self.weights.new_tee + 3.0 * self.weights.joint,
            beside: Vec::new(),
        })
    }

    /// Heights of a tee put behind fit `from` - 1 and before fit `to`, with room for its pieces.
    fn between(&self, stack: usize, from: usize, to: usize, tee: &Pattern, now: f64) -> Option<Vec<f64>> {
        let (run, base) = self.stack(stack)?;
        let room =
            |port: &truefall_model::catalog::pattern::Port| port.stop.coords.norm() + port.socket.to_inches();
        let below = match from.checked_sub(1) {
            Some(i) => run.fits.get(i)?.1,
            None => base,
        };
        let (low, high) = (&tee.ports[tee.enter], &tee.ports[tee.leave?]);
        let under = match self.rough_in.part(below).pattern() {
            Some(p) => room(&p.ports[p.leave?]),
            None => 3.0,
        };
        let least = self.placed().origin(below).z + under + room(low);
        let most = match run.fits.get(to) {
            Some((_, above)) => {
                let up = &self.job.stacks[stack].up[to];
                // What is pushed on without a height of its own moves with it.
                up.height.as_ref()?;
                let p = self.rough_in.part(*above).pattern()?;
                self.placed().origin(*above).z - room(&p.ports[p.enter]) - room(high)
            }
            None => f64::INFINITY,
        };
        let (from, to, step) = self.heights;
        let mut heights: Vec<f64> = Vec::new();
        let mut z = to;
        while z >= from - 1e-9 {
            if z > least && z < most && (z - now).abs() > 1e-6 {
                heights.push(z);
            }
            z -= step;
        }
        Some(heights)
    }
}

fn branch_end(pattern: &Pattern, port: usize) -> LegEnd {
    let port = &pattern.ports[port];
    LegEnd {
        laying: port.stop.coords.norm(),
        socket: port.socket.to_inches(),
        hub_radius: port.outside.to_inches() / 2.0,
    }
}
