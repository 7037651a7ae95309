//! A job taken through: the code's figures, placing, the wood, the rules, the report. What `cli` and the viewer ask for.

use crate::report::{Checked, Report};
use std::time::{Duration, Instant};
use truefall_check::bore::Bore;
use truefall_check::check::{Held, held};
use truefall_check::facts::Facts;
use truefall_check::fixes::{Bench, try_cures};
use truefall_check::trial_test::{Trial, trials};
use truefall_check::{Finding, Profile};
use truefall_model::catalog::Catalog;
use truefall_model::job::{Job, Placement};
use truefall_model::place::{JobFault, RoughIn, place};
use truefall_plan::site::profile;

/// What came of a job.
#[derive(Debug, Clone)]
pub struct Examined {
    /// The figures it was held to.
    pub profile: Profile,
    /// The job placed.
    pub rough_in: RoughIn,
    /// What was measured, placement by placement.
    pub facts: Vec<(Placement, Facts)>,
    /// Holes and notches, placement by placement.
    pub bores: Vec<Bore>,
    /// What the rules told.
    pub findings: Vec<Finding>,
    /// What passes; none unless it was asked for.
    pub passes: Vec<Finding>,
    /// All of it laid out.
    pub report: Report,
    /// How long each step took, in the order taken.
    pub timings: Vec<(&'static str, Duration)>,
}

/// What is asked of a job.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The placements to look at, in the order they are told.
    pub placements: &'a [Placement],
    /// What passes too, with how far it is from failing.
    pub passes: bool,
    /// To try what would mend each finding; the job is placed and checked anew for every cure.
    pub fixes: bool,
}

/// As [`examine_with`], findings only.
///
/// # Errors
/// As [`examine_with`].
pub fn examine(job: &Job, catalog: &Catalog, placements: &[Placement]) -> Result<Examined, Vec<JobFault>> {
    examine_with(job, catalog, &Asked { placements, passes: false, fixes: false })
}

/// Places a job, holds it to the rules in the placements named, and lays out what came of it.
///
/// # Errors
/// All faults of the job that leave nothing to place or nothing to hold it to.
pub fn examine_with(job: &Job, catalog: &Catalog, asked: &Asked<'_>) -> Result<Examined, Vec<JobFault>> {
    let Asked { placements, passes, fixes } = *asked;
    let mut clock = Clock::start();
    let profile = profile(job);
    let rough_in = place(job, catalog);
    let (profile, rough_in) = match (profile, rough_in) {
        (Ok(profile), Ok(rough_in)) => (profile, rough_in),
        (profile, rough_in) => {
            let faults = [profile.err(), rough_in.err()];
            return Err(faults.into_iter().flatten().flatten().collect());
        }
    };
    clock.lap("place");
    let facts: Vec<(Placement, Facts)> =
        placements.iter().map(|p| (*p, Facts::of(job, &rough_in, catalog, rough_in.placed(*p)))).collect();
    clock.lap("bores");
    let (mut findings, passed) =
        held(&Held { job, rough_in: &rough_in, catalog, profile: &profile, facts: &facts, passes });
    let bores: Vec<Bore> = facts.iter().flat_map(|(_, facts)| facts.bores.iter().cloned()).collect();
    clock.lap("rules");
    if fixes {
        try_cures(&Bench { job, catalog, profile: &profile, placements }, &mut findings);
        clock.lap("fixes");
    }
    let tests: Vec<Trial> = placements
        .iter()
        .flat_map(|p| trials(job, &rough_in, catalog, &profile, rough_in.placed(*p)))
        .collect();
    let report = Report::of(&Checked {
        job,
        rough_in: &rough_in,
        bores: &bores,
        trials: &tests,
        findings: &findings,
        passes: passes.then_some(&passed),
        placements,
    });
    clock.lap("report");
    Ok(Examined { profile, rough_in, facts, bores, findings, passes: passed, report, timings: clock.laps })
}

struct Clock {
    last: Instant,
    laps: Vec<(&'static str, Duration)>,
}

impl Clock {
    fn start() -> Self {
        Self { last: Instant::now(), laps: Vec::new() }
    }

    fn lap(&mut self, step: &'static str) {
        let now = Instant::now();
        self.laps.push((step, now - self.last));
        self.last = now;
    }
}
