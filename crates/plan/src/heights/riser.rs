//! One stack of a placed job as the plan sees it: which fittings stay, which are stations, which only change the size.

use super::column::{Ceiling, Tip};
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::job::pipes::{Fit, Stack};
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
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
    /// The fitting below that turns the stack, on which this straight part of it stands; none at the base.
    pub above: Option<Label>,
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
    /// The hub above that has a height of its own.
    pub ceiling: Option<Ceiling>,
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

/// Whether a fit goes on the way it is entered.
pub(super) fn straight(pattern: &Pattern, fit: &Fit) -> bool {
    let Some((enter, Some(leave))) = ports(pattern, fit) else { return false };
    pattern.ports[enter].axis.dot(&pattern.ports[leave].axis) < -1.0 + 1e-9
}

/// The straight parts of a stack from the base up, each by the fitting it stands on: none for the base, then every fitting that
/// brings the stack upright again after an offset.
pub fn parts(job: &Job, rough_in: &RoughIn, index: usize) -> Vec<Option<Label>> {
    let placed = rough_in.placed(job.cut_on);
    let is_this = |r: &&Run| matches!(&r.kind, RunKind::Stack { index: i, .. } if *i == index);
    let Some(run) = rough_in.runs.iter().find(is_this) else { return vec![None] };
    let upright = |(fit, (_, part)): &(&Fit, &(Option<PartId>, PartId))| {
        let Some(pattern) = rough_in.part(*part).pattern() else { return false };
        let leaves = ports(pattern, fit).and_then(|(_, leave)| leave);
        !straight(pattern, fit) && leaves.is_some_and(|l| placed.axis(rough_in, *part, l).z > UPRIGHT)
    };
    let turns =
        job.stacks[index].up.iter().zip(&run.fits).filter(upright).map(|(fit, _)| Some(fit.name.clone()));
    std::iter::once(None).chain(turns).collect()
}

/// Why a part without stations is left alone.
pub(super) const NO_TEE: &str = "no tee stands on it";

/// Cosine of the lean beyond which a part of a stack doesn't count as standing.
const UPRIGHT: f64 = 0.9;

impl<'a> Riser<'a> {
    /// Looks at the lowest straight part of a stack.
    ///
    /// # Errors
    /// Why it is left alone, in words.
    pub fn of(
        job: &'a Job,
        catalog: &'a Catalog,
        rough_in: &'a RoughIn,
        index: usize,
    ) -> Result<Self, String> {
        Self::on(job, catalog, rough_in, index, None)
    }

    /// Looks at the straight part of a stack that stands on the base, or on the fitting of that name.
    ///
    /// # Errors
    /// Why it is left alone, in words.
    pub fn on(
        job: &'a Job,
        catalog: &'a Catalog,
        rough_in: &'a RoughIn,
        index: usize,
        above: Option<&Label>,
    ) -> Result<Self, String> {
        let placed = rough_in.placed(job.cut_on);
        let run = rough_in
            .runs
            .iter()
            .find(|r| matches!(&r.kind, RunKind::Stack { index: i, .. } if *i == index))
            .ok_or("it was not placed")?;
        let RunKind::Stack { base, .. } = &run.kind else { return Err("it is no stack".into()) };
        let stack = &job.stacks[index];
        // Drawn, every stack stands on a plumb base, whatever is done about its lean.
        if !stack.corrections.is_empty() && job.cut_on == Placement::Found {
            return Err("its lean is corrected at a joint and cuts are solved as found: heights are solved for stacks that are \
                        straight in the placement that the job cuts on"
                .into());
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
        let first = match above {
            None => 0,
            Some(name) => {
                1 + stack.up.iter().position(|f| f.name == *name).ok_or("what it stands on is gone")?
            }
        };
        let kept_below = first + (first..stack.up.len()).take_while(|i| coupling(*i)).count();
        let kept_from = (kept_below..stack.up.len())
            .find(|i| !pattern(*i).is_some_and(|p| straight(p, &stack.up[*i])))
            .unwrap_or(stack.up.len());
        let changes =
            |i: &usize| pattern(*i).is_some_and(|p| matches!(p.family, Family::Bushing | Family::Reducer));
        let stations: Vec<usize> = (kept_below..kept_from).filter(|i| !changes(i)).collect();
        if stations.is_empty() {
            return Err(NO_TEE.into());
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
        if axis.z < UPRIGHT {
            return Err("it does not stand up from its base".into());
        }
        let own = &rough_in.part(part).ports()[port];
        let foot = Tip::of(own.size, own.end, own.socket.to_inches()).ok_or("its base takes no pipe")?;
        let top = if kept_from < stack.up.len() { end(kept_from, true) } else { end(kept_from - 1, false) }
            .map(|(part, port)| rough_in.part(part).ports()[port].size);
        let foot_z = placed.stop(rough_in, part, port).z;
        let along = |z: f64| foot_z + (z - foot_z) / axis.z;
        let ceiling = stack.up.get(kept_from).filter(|f| f.height.is_some()).and_then(|fit| {
            let (part, port) = end(kept_from, true)?;
            let own = &rough_in.part(part).ports()[port];
            let tip = Tip::of(own.size, own.end, own.socket.to_inches())?;
            let stop_in = along(placed.stop(rough_in, part, port).z);
            tip.hub.then(|| Ceiling { name: fit.name.clone(), stop_in, socket_in: tip.socket_in })
        });
        Ok(Self {
            job,
            catalog,
            rough_in,
            placed,
            index,
            above: above.cloned(),
            run,
            kept_below,
            stations,
            kept_from,
            foot,
            foot_z,
            up: axis.z,
            top,
            ceiling,
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
