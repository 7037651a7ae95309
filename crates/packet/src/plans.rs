//! What is cut, bought, drilled, tested and mended on one job, worked out once for all pages and lists of a packet.

use crate::drawing::Subject;
use crate::lean_plan::LeanPlan;
use truefall_check::trial_test::{Trial, trials};
use truefall_model::place::JobFault;
use truefall_plan::Site;
use truefall_plan::buy::Bill;
use truefall_plan::cuts::CutList;
use truefall_plan::holes::HoleSchedule;
use truefall_plan::lean::lean;
use truefall_plan::stock::{StockOptions, StockPlan, of_cuts};

/// The plans of one job.
#[derive(Debug, Clone)]
pub struct Plans {
    /// Every piece, in the placement that is cut to.
    pub cuts: CutList,
    /// Out of which lengths they are sawn.
    pub stock: Vec<StockPlan>,
    /// How pipe is sold and sawn.
    pub options: StockOptions,
    /// What is bought.
    pub bill: Bill,
    /// Every hole, in the same placement.
    pub holes: HoleSchedule,
    /// What helps a stack that leans.
    pub lean: LeanPlan,
    /// The water test of each stack, as found.
    pub trials: Vec<Trial>,
}

impl Plans {
    /// Of a job that was placed.
    ///
    /// # Errors
    /// All faults that leave nothing to place.
    pub fn of(subject: &Subject<'_>, options: StockOptions) -> Result<Self, Vec<JobFault>> {
        let (job, catalog) = (subject.job, subject.catalog);
        let (rough_in, profile) = (subject.rough_in(), &subject.examined.profile);
        let examined = subject.examined;
        let site = Site::examined(
            (job, catalog),
            profile.clone(),
            rough_in.clone(),
            examined.facts.clone(),
            examined.findings.clone(),
        );
        let cuts = CutList::of(&site);
        let stock = of_cuts(&cuts, &options);
        let lean = LeanPlan::of(job, &lean(&site.bench())?);
        let trials = trials(job, rough_in, catalog, profile, subject.placed());
        let bill = Bill::of(&site, &options);
        Ok(Self { bill, holes: HoleSchedule::of(&site), cuts, stock, options, lean, trials })
    }
}
