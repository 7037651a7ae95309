//! A candidate: the steps of one vent, not yet tried.

use super::cost::{Weights, counted};
use super::step::Step;
use crate::prices::{Item, PriceList, Unit};
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;
use truefall_model::catalog::material::Material;
use truefall_model::job::pipes::{End, Fit};
use truefall_model::label::Label;
use truefall_model::units::NominalSize;

/// The steps of one vent, and the same in words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    /// What kind of thing it is, in a few words.
    pub kind: &'static str,
    /// The need it was made for, by its place in the plan; none for what is done to a run that serves several.
    pub need: Option<usize>,
    /// The steps.
    pub steps: Vec<Step>,
    /// One line each for what is done, with the numbers of new fittings in them.
    pub words: Vec<String>,
    /// The needs it may mend, each with the method by which the check then has it vented: as it is with air at its takeoff.
    pub mends: BTreeMap<usize, String>,
    /// The candidate whose vent it is joined to, by its place in the pool.
    pub host: Option<usize>,
    /// Pipe it takes at the least, inches.
    pub pipe_in: f64,
    /// Size of that pipe.
    pub size: NominalSize,
    /// Its own upright end, where others can be joined to it.
    pub riser: Option<Riser>,
}

/// The upright end of a new vent.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Riser {
    /// Where it starts.
    pub foot: Point3<f64>,
    /// The way it goes.
    pub axis: Vector3<f64>,
    /// Where it leaves the house.
    pub top_z: f64,
    /// Its size.
    pub size: NominalSize,
    /// The last fitting of its run below it.
    pub after: Option<Label>,
}

/// Pipe that a fitting put into a leg saves at the most.
const SAVED_IN: f64 = 12.0;

impl Candidate {
    /// Points it costs at the least: its joints, its ends, its refits and the pipe that is sure. What only a trial tells, such as
    /// holes and plates, comes on top. `priced` is what prices put to it.
    pub fn at_least(&self, weights: &Weights, priced: f64) -> f64 {
        let foot = |size: NominalSize, inches: f64| inches / 12.0 * counted(size) * weights.foot;
        let end = |end: &End| match end {
            End::Roof { .. } => weights.roof + weights.joint,
            End::Tie { .. } => 2.0 * weights.joint,
            End::Valve {} => weights.valve,
            _ => 0.0,
        };
        // A street fitting or a bushing goes straight into the hub before it, all others by a piece with two joints.
        let joints = |fit: &Fit| {
            let one = ["street", "bushing"].iter().any(|word| fit.fit.as_str().contains(word));
            if one { weights.joint } else { 2.0 * weights.joint }
        };
        let of = |step: &Step| match step {
            Step::Insert { fit, .. } => joints(fit) - foot(NominalSize::THREE, SAVED_IN),
            Step::Append { fit, .. } => joints(fit),
            Step::Replace { .. } => weights.refit - foot(NominalSize::THREE, SAVED_IN),
            Step::End { end: to, .. } => end(to),
            Step::Branch(branch) => branch.along.iter().map(joints).sum::<f64>() + end(&branch.end),
            // It may take pipe and joints away: nothing is sure.
            Step::Remove { .. } => -10.0,
            Step::Provide(_) | Step::From { .. } => 0.0,
        };
        let steps: f64 = self.steps.iter().map(of).sum();
        (steps + foot(self.size, self.pipe_in) + priced).max(0.0)
    }

    /// What its fittings, its valve and the pipe that is sure cost at the least by the user's prices, less what a fitting put
    /// into a leg or in the place of another may save. New fittings may be of any material the list has them in.
    pub fn money_at_least(&self, prices: &PriceList) -> f64 {
        let of = |item: &Item, unit: Unit| prices.of(item, unit).map(|p| p.to_hundredths() as f64 / 100.0);
        let feet = |size: NominalSize| {
            Material::ALL.iter().filter_map(move |m| of(&Item::Pipe(*m, size), Unit::Foot))
        };
        let least = |costs: &mut dyn Iterator<Item = f64>| costs.fold(f64::INFINITY, f64::min);
        let finite = |cost: f64| if cost.is_finite() { cost } else { 0.0 };
        let fitting = |fit: &Fit| {
            let costs = Material::ALL.iter().filter_map(|m| Item::parse(fit.fit.as_str(), m.word()).ok());
            // Where one material has no price, nothing is sure.
            let mut costs: Vec<f64> = costs.map(|item| of(&item, Unit::Each).unwrap_or(0.0)).collect();
            finite(least(&mut costs.drain(..)))
        };
        let dearest_foot = NominalSize::ALL.into_iter().flat_map(feet).fold(0.0, f64::max);
        let sure_foot =
            match Material::ALL.iter().all(|m| of(&Item::Pipe(*m, self.size), Unit::Foot).is_some()) {
                true => finite(least(&mut feet(self.size))),
                false => 0.0,
            };
        let saved = SAVED_IN / 12.0 * dearest_foot;
        let step = |step: &Step| match step {
            Step::Insert { fit, .. } => fitting(fit) - saved,
            Step::Append { fit, .. } => fitting(fit),
            Step::Branch(branch) => {
                let valve = matches!(branch.end, End::Valve {});
                let valve = if valve { of(&Item::Valve(self.size), Unit::Each).unwrap_or(0.0) } else { 0.0 };
                branch.along.iter().map(fitting).sum::<f64>() + valve
            }
            Step::Replace { .. } | Step::Remove { .. } => -saved - prices.dearest(),
            Step::End { .. } | Step::Provide(_) | Step::From { .. } => 0.0,
        };
        self.steps.iter().map(step).sum::<f64>() + self.pipe_in.max(0.0) / 12.0 * sure_foot
    }
}
