//! What a rule looks at: the job, where its parts are in one placement, and the figures to hold them to.

use crate::code::Profile;
use crate::facts::Facts;
use crate::finding::Verdict;
use crate::vent::{Rim, Vents};
use truefall_model::catalog::Catalog;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{JointId, LegId, PartId, Placed, RoughIn};

/// All a rule may look at; it is called once for each placement.
#[derive(Debug, Clone, Copy)]
pub struct Ctx<'a> {
    /// What the user wrote.
    pub job: &'a Job,
    /// The placed job.
    pub rough_in: &'a RoughIn,
    /// The figures of the code with local amendments laid over them.
    pub profile: &'a Profile,
    /// Fittings, pipe and lumber.
    pub catalog: &'a Catalog,
    /// Where everything is in the placement looked at.
    pub placed: &'a Placed,
    /// What was measured in it once for all rules: bores and clashes.
    pub facts: &'a Facts,
    /// How each trap is vented by the code.
    pub vents: &'a Vents,
    /// Whether what passes is to be told too, with its margin. It costs words for everything that is fine, so rules ask
    /// [`Ctx::verdict`] and tell nothing where it is not wanted.
    pub passes: bool,
}

impl<'a> Ctx<'a> {
    /// The placement looked at.
    pub fn placement(&self) -> Placement {
        self.placed.placement
    }

    /// What a result so far inside its limit comes to, as [`Verdict::of`]; a pass where passes are asked for.
    pub fn verdict(&self, margin: f64, error: f64) -> Option<Verdict> {
        Verdict::of(margin, error).or(self.passes.then_some(Verdict::Pass))
    }

    /// A part's name.
    pub fn label(&self, part: PartId) -> &'a Label {
        &self.rough_in.part(part).label
    }

    /// Whether waste passes through a part.
    pub fn is_wet(&self, part: PartId) -> bool {
        self.rough_in.network.wet[part.0 as usize]
    }

    /// What a leg is called: its run's name and the fittings at its ends.
    pub fn leg_name(&self, leg: LegId) -> String {
        let leg = self.rough_in.leg(leg);
        let run = &self.rough_in.run(leg.run).label;
        let low = self.label(leg.low);
        match leg.high {
            Some(high) => format!("{run} from {low} to {}", self.label(high)),
            None => format!("{run} beyond {low}"),
        }
    }

    /// The names of a leg's fittings and its run.
    pub fn leg_labels(&self, leg: LegId) -> Vec<&'a Label> {
        let leg = self.rough_in.leg(leg);
        let mut labels = vec![&self.rough_in.run(leg.run).label, self.label(leg.low)];
        labels.extend(leg.high.map(|high| self.label(high)));
        labels
    }

    /// What legs in one line are called: their run's name and the fittings at the two ends.
    pub fn legs_name(&self, legs: &[LegId]) -> String {
        let [first, .., last] = legs else {
            return legs.first().map_or_else(String::new, |leg| self.leg_name(*leg));
        };
        let (first, last) = (self.rough_in.leg(*first), self.rough_in.leg(*last));
        let (run, low) = (&self.rough_in.run(first.run).label, self.label(first.low));
        match last.high {
            Some(high) => format!("{run} from {low} to {}", self.label(high)),
            None => format!("{run} beyond {low}"),
        }
    }

    /// What a joint is called: the parts on its two sides.
    pub fn joint_name(&self, joint: JointId) -> String {
        let joint = self.rough_in.joint(joint);
        format!("the joint of {} and {}", self.label(joint.low.0), self.label(joint.high.0))
    }

    /// The flood level of a fixture.
    pub fn rim(&self, fixture: usize) -> Option<Rim> {
        crate::vent::rim(self.job, self.rough_in, self.catalog, fixture)
    }

    /// The highest flood level of several fixtures, with the fixture; those whose floor is not known are left out.
    pub fn highest_rim<'f>(&self, fixtures: impl IntoIterator<Item = &'f usize>) -> Option<(usize, Rim)> {
        let rims = fixtures.into_iter().filter_map(|f| Some((*f, self.rim(*f)?)));
        rims.max_by(|a, b| a.1.z.total_cmp(&b.1.z).then(b.0.cmp(&a.0)))
    }

    /// The name of a fixture.
    pub fn fixture(&self, fixture: usize) -> &'a Label {
        &self.job.fixtures[fixture].name
    }

    /// The name of the run a part was listed in.
    pub fn run_of(&self, part: PartId) -> &'a Label {
        &self.rough_in.run(self.rough_in.part(part).run).label
    }
}
