//! A job placed, measured and held to the rules once, for the plans that list rather than change: cuts, holes, what to buy.

use truefall_check::check::{Held, held};
use truefall_check::facts::Facts;
use truefall_check::fixes::Bench;
use truefall_check::vent::{Setting, Vents};
use truefall_check::{Ctx, Finding, Profile, settle};
use truefall_model::catalog::Catalog;
use truefall_model::document::nearest;
use truefall_model::job::{Job, Placement};
use truefall_model::place::{JobFault, Placed, RoughIn, place};

/// Both placements, in the order they are told.
pub const BOTH: &[Placement] = &[Placement::Drawn, Placement::Found];

/// One job with all that is known of it.
#[derive(Debug, Clone)]
pub struct Site<'a> {
    /// What the user wrote.
    pub job: &'a Job,
    /// Fittings, pipe and lumber.
    pub catalog: &'a Catalog,
    /// The figures of its code with local amendments.
    pub profile: Profile,
    /// The job placed.
    pub rough_in: RoughIn,
    /// What was measured, placement by placement.
    pub facts: Vec<(Placement, Facts)>,
    /// What the rules told of both placements.
    pub findings: Vec<Finding>,
}

impl<'a> Site<'a> {
    /// Places a job, measures it and holds it to all rules.
    ///
    /// # Errors
    /// All faults of the job that leave nothing to place or nothing to hold it to.
    pub fn of(job: &'a Job, catalog: &'a Catalog) -> Result<Self, Vec<JobFault>> {
        let (profile, rough_in) = match (profile(job), place(job, catalog)) {
            (Ok(profile), Ok(rough_in)) => (profile, rough_in),
            (profile, rough_in) => {
                return Err([profile.err(), rough_in.err()].into_iter().flatten().flatten().collect());
            }
        };
        Ok(Self::placed_as(job, catalog, profile, rough_in))
    }

    /// The same of a job that is placed already.
    pub fn placed_as(job: &'a Job, catalog: &'a Catalog, profile: Profile, rough_in: RoughIn) -> Self {
        let facts: Vec<(Placement, Facts)> =
            BOTH.iter().map(|p| (*p, Facts::of(job, &rough_in, catalog, rough_in.placed(*p)))).collect();
        let (findings, _) = held(&Held {
            job,
            rough_in: &rough_in,
            catalog,
            profile: &profile,
            facts: &facts,
            passes: false,
        });
        Self { job, catalog, profile, rough_in, facts, findings }
    }

    /// Of a job that was placed, measured in both placements and held to all rules already: nothing is reckoned twice.
    ///
    /// A placement that was not measured is measured here.
    pub fn examined(
        (job, catalog): (&'a Job, &'a Catalog),
        profile: Profile,
        rough_in: RoughIn,
        mut facts: Vec<(Placement, Facts)>,
        findings: Vec<Finding>,
    ) -> Self {
        for placement in BOTH {
            if !facts.iter().any(|(p, _)| p == placement) {
                let placed = rough_in.placed(*placement);
                facts.push((*placement, Facts::of(job, &rough_in, catalog, placed)));
            }
        }
        Self { job, catalog, profile, rough_in, facts, findings }
    }

    /// What trials are held to.
    pub fn bench(&self) -> Bench<'_> {
        Bench { job: self.job, catalog: self.catalog, profile: &self.profile, placements: BOTH }
    }

    /// The placement that is cut and drilled to.
    pub fn built(&self) -> &Placed {
        self.rough_in.placed(self.job.cut_on)
    }

    /// What was measured in a placement.
    ///
    /// # Panics
    /// Never: both are measured when a site is made.
    pub fn facts_of(&self, placement: Placement) -> &Facts {
        let found = self.facts.iter().find(|(p, _)| *p == placement);
        &found.expect("a site is measured in both placements").1
    }

    /// Looks at a placement as a rule does.
    pub fn looking<T>(&self, placement: Placement, look: impl FnOnce(&Ctx<'_>) -> T) -> T {
        let placed = self.rough_in.placed(placement);
        let (job, rough_in, catalog, profile) = (self.job, &self.rough_in, self.catalog, &self.profile);
        let vents = Vents::of(&Setting { job, rough_in, catalog, profile, placed });
        let facts = self.facts_of(placement);
        look(&Ctx { job, rough_in, profile, catalog, placed, facts, vents: &vents, passes: false })
    }
}

/// The figures of a job's code with its local amendments, and a look at its acceptances.
///
/// # Errors
/// A code there is no profile of, amendments and acceptances of what is not there.
pub fn profile(job: &Job) -> Result<Profile, Vec<JobFault>> {
    let mut faults = settle::acceptance_faults(job);
    let profile = match Profile::builtin(job.code.as_str()) {
        Some(builtin) => builtin.with_amendments(&job.local).map_err(|amended| faults.extend(amended)).ok(),
        None => {
            let names = Profile::names();
            faults.push(JobFault {
                path: "code".to_owned(),
                message: format!("there is no code profile `{}`; there is {}", job.code, names.join(", ")),
                help: nearest(job.code.as_str(), &names).map(|name| format!("did you mean `{name}`?")),
            });
            None
        }
    };
    match profile {
        Some(profile) if faults.is_empty() => Ok(profile),
        _ => Err(faults),
    }
}
