//! One stack of a placed job as the plan sees it: which fittings stay, which are stations, which only change the size.

use super::column::Tip;
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::job::Job;
use truefall_model::job::pipes::{Fit, Stack};
use truefall_model::place::{PartId, Placed, RoughIn, Run, RunKind};
use truefall_model::units::NominalSize;

/// A stack about to be planned.
#[derive(Debug, Clone)]
pub struct Riser<'a> {
    /// The job.
    pub job: &'a Job,
    /// The catalog.
    pub catalog: &'a Catalog,
    /// The job placed.
    pub rough_in: &'a RoughIn,
    /// The placement that cuts are solved on.
    pub placed: &'a Placed,
    /// Its number among the job's stacks.
    pub index: usize,
    /// Its run.
    pub run: &'a Run,
    /// How many fittings at its foot stay as they are.
    pub kept_below: usize,
    /// Places in its list of the fittings that get a height, from the base up.
    pub stations: Vec<usize>,
    /// The place in its list from where on it is left as it is; its length where all of it is planned.
    pub kept_from: usize,
    /// The open end the stations stand on.
    pub foot: Tip,
    /// Height of that end's stop, inches.
    pub foot_z: f64,
    /// How much of a length along the stack goes up.
    pub up: f64,
    /// Size at the top of what is planned.
    pub top: Option<NominalSize>,
}

/// Ports of a fit: towards the base, and where the stack goes on.
pub(super) fn ports(pattern: &Pattern, fit: &Fit) -> Option<(usize, Option<usize>)> {
    let enter = match &fit.enter {
        Some(name) => pattern.port(name.as_str()).ok()?,
        None => pattern.enter,
    };
    let leave = match &fit.leave {
        Some(name) => Some(pattern.port(name.as_str()).ok()?),
        None => pattern.leave.filter(|l| *l != enter),
    };
    Some((enter, leave))
}

fn straight(pattern: &Pattern, fit: &Fit) -> bool {
    let Some((enter, Some(leave))) = ports(pattern, fit) else { return false };
    pattern.ports[enter].axis.dot(&pattern.ports[leave].axis) < -1.0 + 1e-9
}

impl<'a> Riser<'a> {
    /// Looks at a stack.
    ///
    /// # Errors
    /// Why it is left alone, in words.
    pub fn of(
        job: &'a Job,
        catalog: &'a Catalog,
        rough_in: &'a RoughIn,
        index: usize,
    ) -> Result<Self, String> {
        let placed = rough_in.placed(job.cut_on);
        let run = rough_in
            .runs
            .iter()
            .find(|r| matches!(&r.kind, RunKind::Stack { index: i, .. } if *i == index))
            .ok_or("it was not placed")?;
        let RunKind::Stack { base, .. } = &run.kind else { return Err("it is no stack".into()) };
        let stack = &job.stacks[index];
        if !stack.corrections.is_empty() {
            return Err(
                "its lean is corrected at a joint; heights are solved for straight stacks only".into()
            );
        }
        let pattern = |i: usize| run.fits.get(i).and_then(|(_, part)| rough_in.part(*part).pattern());
        let coupling = |i: usize| {
            pattern(i).is_some_and(|p| {
                matches!(
                    p.family,
                    Family::TransitionCoupling
                        | Family::HublessCoupling
                        | Family::Coupling
                        | Family::SlipCoupling
                )
            })
        };
        let kept_below = (0..stack.up.len()).take_while(|i| coupling(*i)).count();
        let kept_from = (kept_below..stack.up.len())
            .find(|i| !pattern(*i).is_some_and(|p| straight(p, &stack.up[*i])))
            .unwrap_or(stack.up.len());
        let changes =
            |i: &usize| pattern(*i).is_some_and(|p| matches!(p.family, Family::Bushing | Family::Reducer));
        let stations: Vec<usize> = (kept_below..kept_from).filter(|i| !changes(i)).collect();
        if stations.is_empty() {
            return Err("no tee stands on it".into());
        }
        let end = |i: usize, low: bool| -> Option<(PartId, usize)> {
            let (_, part) = *run.fits.get(i)?;
            let (enter, leave) = ports(rough_in.part(part).pattern()?, &stack.up[i])?;
            Some((part, if low { enter } else { leave? }))
        };
        let (part, port) = match kept_below {
            0 => (*base, 0),
            n => end(n - 1, false).ok_or("what stands at its foot has no way on")?,
        };
        let axis = placed.axis(rough_in, part, port);
        if axis.z < 0.9 {
            return Err("it does not stand up from its base".into());
        }
        let own = &rough_in.part(part).ports()[port];
        let foot = Tip::of(own.size, own.end, own.socket.to_inches()).ok_or("its base takes no pipe")?;
        let top = if kept_from < stack.up.len() { end(kept_from, true) } else { end(kept_from - 1, false) }
            .map(|(part, port)| rough_in.part(part).ports()[port].size);
        let foot_z = placed.stop(rough_in, part, port).z;
        Ok(Self {
            job,
            catalog,
            rough_in,
            placed,
            index,
            run,
            kept_below,
            stations,
            kept_from,
            foot,
            foot_z,
            up: axis.z,
            top,
        })
    }

    /// The stack as written.
    pub fn stack(&self) -> &'a Stack {
        &self.job.stacks[self.index]
    }

    /// The fit of a station as written.
    pub fn fit(&self, station: usize) -> &'a Fit {
        &self.stack().up[self.stations[station]]
    }

    /// The part of a station.
    pub fn part(&self, station: usize) -> PartId {
        self.run.fits[self.stations[station]].1
    }

    /// A station's pattern as it was placed.
    pub fn pattern(&self, station: usize) -> &'a Pattern {
        self.rough_in.part(self.part(station)).pattern().expect("a station is a fitting")
    }

    /// Height of a station's centre as the job has it, inches.
    pub fn z(&self, station: usize) -> f64 {
        self.placed.origin(self.part(station)).z
    }

    /// A height as a length along the stack, counted so that both agree at the foot.
    pub fn along(&self, z: f64) -> f64 {
        self.foot_z + (z - self.foot_z) / self.up
    }

    /// A length along the stack as a height.
    pub fn height(&self, along: f64) -> f64 {
        self.foot_z + (along - self.foot_z) * self.up
    }

    /// The station that a part hangs on: the first of the stack on its way down.
    pub fn station_of(&self, part: PartId) -> Option<usize> {
        let mut at = Some(part);
        while let Some(p) = at {
            if self.rough_in.part(p).run == self.run.id {
                return (0..self.stations.len()).find(|s| self.part(*s) == p);
            }
            at = self.rough_in.network.below(p);
        }
        None
    }
}
