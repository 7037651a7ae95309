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
use truefall_model::job::pipes::PortName;
use truefall_model::label::Label;
use truefall_model::place::{PartId, Placed, RoughIn, RunId, RunKind};
use truefall_model::units::NominalSize;

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
}

impl Seeking<'_> {
    /// All places to start from.
    pub fn tees(&self) -> Vec<Tee> {
        let mut tees: Vec<Tee> = self.given().into_iter().collect();
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
            how: How::Given(name),
        })
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
