//! What candidates are tried on: one or several are put into a copy of the job, which is placed and held to all rules; what is
//! then lacking and can be provided is provided.

use super::candidate::Candidate;
use super::cost::{Cost, Tally, Weights};
use super::first_look::{figures, first_look};
use super::goods::Goods;
use super::need::{Need, needs, vented, vents};
use super::offer::{Offer, Wanted};
use super::step::{Kept, Listed, Step, edits, worded};
use crate::prices::PriceList;
use crate::trial::{Bench, Put, Trial, put};
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use truefall_check::facts::Facts;
use truefall_check::{Finding, Verdict};
use truefall_model::framing::provided::Provided;
use truefall_model::job::Edit;
use truefall_model::job::edit::Change;
use truefall_model::label::Label;
use truefall_model::place::RoughIn;

/// Rounds in which what is lacking is provided before a candidate is given up.
const ROUNDS: usize = 4;

/// What all candidates are tried on.
pub(super) struct Tries<'a> {
    pub bench: &'a Bench<'a>,
    pub rough_in: &'a RoughIn,
    pub before: &'a [Finding],
    pub needs: &'a [Need],
    pub weights: &'a Weights,
    pub prices: Option<&'a PriceList>,
    tally: Tally,
    goods: Goods,
    trials: Cell<usize>,
}

/// Several vents as one job.
#[derive(Debug, Clone)]
pub(super) struct Whole {
    /// What they cost together.
    pub cost: Cost,
    /// What of them has no price.
    pub unpriced: Vec<String>,
    /// The edits of the job.
    pub edits: Vec<Edit>,
    /// The names their numbers got.
    pub names: Kept,
}

/// Why several vents are no job.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Against {
    /// The job can't be built so, or something is red.
    Red,
    /// A trap stays without a vent.
    Bare,
}

/// The steps with what was provided, the trial, and the names given.
type Settled = (Vec<(usize, Vec<Step>)>, Trial, Vec<BTreeMap<String, Label>>);

impl<'a> Tries<'a> {
    /// Counts the job as it is.
    pub fn of(
        bench: &'a Bench<'a>,
        rough_in: &'a RoughIn,
        before: &'a [Finding],
        needs: &'a [Need],
        wanted: &Wanted<'a>,
    ) -> Self {
        let placed = rough_in.placed(bench.job.cut_on);
        let facts = Facts::of(bench.job, rough_in, bench.catalog, placed);
        let tally = Tally::of(bench.job, rough_in, placed, &facts);
        let goods = Goods::of(bench.job, rough_in);
        let (weights, prices) = (wanted.weights, wanted.prices);
        Self { bench, rough_in, before, needs, weights, prices, tally, goods, trials: Cell::new(0) }
    }

    /// Points a candidate costs at the least, prices counted where there are any.
    pub fn at_least(&self, candidate: &Candidate) -> f64 {
        let priced = self.prices.map_or(0.0, |list| candidate.money_at_least(list) * self.weights.money);
        candidate.at_least(self.weights, priced)
    }

    /// How often a copy of the job was held to all rules.
    pub fn trials(&self) -> usize {
        self.trials.get()
    }

    /// Puts steps into a copy of the job and places it: which needs then have a vent. Holds it to no rule.
    pub fn looked_at(
        &self,
        steps: &[Step],
        asked: Option<usize>,
    ) -> Result<(Put, BTreeMap<usize, String>), String> {
        let (edits, _) = edits(self.bench.job, &[(0, steps)], &Kept::new());
        let put = put(self.bench, edits).map_err(|why| why.to_string())?;
        let mends = vented(self.bench, self.needs, &put, asked)?;
        Ok((put, mends))
    }

    /// Tries a candidate, with the vent it is joined to.
    pub fn offer(
        &self,
        (place, candidate): (usize, &Candidate),
        host: Option<(usize, &Offer)>,
        kept: &Kept,
    ) -> Result<Offer, String> {
        let mut vents: Vec<Listed<'_>> = host.iter().map(|(i, o)| (*i, o.steps.as_slice())).collect();
        vents.push((place, &candidate.steps));
        let (mut steps, trial, names) = self.settled(&vents, kept)?;
        let after_bench = Bench { job: &trial.job, ..*self.bench };
        let left: BTreeSet<usize> = needs(&after_bench, &trial.rough_in).iter().map(|n| n.fixture).collect();
        let mut mended: BTreeSet<usize> =
            (0..self.needs.len()).filter(|n| !left.contains(&self.needs[*n].fixture)).collect();
        if let Some((_, host)) = host {
            if !host.needs.is_subset(&mended) {
                return Err("the vent it is joined to then serves its own trap no more".to_owned());
            }
            mended.retain(|n| !host.needs.contains(n));
        }
        if mended.is_empty() {
            return Err("no trap is vented by it".to_owned());
        }
        let ways = vents_of(&after_bench, &trial);
        let method = |n: &usize| {
            let need = &self.needs[*n];
            let method = ways.trap(need.fixture).and_then(|t| t.vent.as_ref()).map(|v| v.method.to_string());
            (need.name.clone(), method.unwrap_or_default())
        };
        let refits = refits(&candidate.steps);
        let (mut cost, unpriced) = self.cost(&trial, refits);
        if let Some((_, host)) = host {
            cost = cost.less(&host.cost);
        }
        // What was found lacking was put with the first.
        let provided: Vec<Step> = steps[0].1.split_off(vents[0].1.len());
        let extra = provided.iter().filter_map(|s| match s {
            Step::Provide(item) => Some(provided_words(item)),
            _ => None,
        });
        let own = names.last().cloned().unwrap_or_default();
        let words = candidate.words.iter().cloned().chain(extra).map(|w| worded(&w, &own)).collect();
        let mut own_steps = candidate.steps.clone();
        // Hangers are named after what they carry; that has another name beside other vents, where they are found lacking anew.
        let stays = |s: &Step| !matches!(s, Step::Provide(p) if matches!(**p, Provided::Hanger { .. }));
        own_steps.extend(provided.into_iter().filter(stays));
        let methods = mended.iter().map(method).collect();
        let fixtures: Vec<usize> = mended.iter().map(|n| self.needs[*n].fixture).collect();
        let remarks = trial.breaks.iter().filter(|f| !self.stood(f)).cloned().collect();
        let put = Put { edits: trial.edits, job: trial.job, rough_in: trial.rough_in };
        Ok(Offer {
            kind: candidate.kind,
            words,
            mends: methods,
            cost,
            unpriced,
            figures: figures(self.bench, &put, &fixtures),
            remarks,
            edits: put.edits,
            needs: mended,
            with: host.map(|h| h.0),
            steps: own_steps,
        })
    }

    /// Tries several offers as one job that has to mend `wanted`.
    pub fn together(&self, offers: &[(usize, &Offer)], wanted: &BTreeSet<usize>) -> Result<Whole, Against> {
        let lists: Vec<Listed<'_>> = offers.iter().map(|(i, o)| (*i, o.steps.as_slice())).collect();
        let (steps, trial, names) = self.settled(&lists, &Kept::new()).map_err(|_| Against::Red)?;
        let bench = Bench { job: &trial.job, ..*self.bench };
        let left = needs(&bench, &trial.rough_in);
        if !wanted.iter().all(|n| left.iter().all(|l| l.fixture != self.needs[*n].fixture)) {
            return Err(Against::Bare);
        }
        let refits = steps.iter().map(|s| refits(&s.1)).sum();
        let (cost, unpriced) = self.cost(&trial, refits);
        let own = |names: &BTreeMap<String, Label>| {
            names.iter().filter(|n| n.0.starts_with('$')).map(|(k, v)| (k.clone(), v.clone())).collect()
        };
        let names = offers.iter().map(|o| o.0).zip(names.iter().map(own)).collect();
        Ok(Whole { cost, unpriced, edits: trial.edits, names })
    }

    fn cost(&self, trial: &Trial, refits: i64) -> (Cost, Vec<String>) {
        let placed = trial.rough_in.placed(trial.job.cut_on);
        let measured = trial.facts.iter().find(|f| f.0 == trial.job.cut_on).map(|f| &f.1);
        let is = match measured {
            Some(facts) => Tally::of(&trial.job, &trial.rough_in, placed, facts),
            None => {
                let facts = Facts::of(&trial.job, &trial.rough_in, self.bench.catalog, placed);
                Tally::of(&trial.job, &trial.rough_in, placed, &facts)
            }
        };
        let cost = Cost::between(self.weights, &self.tally, &is, refits);
        let Some(prices) = self.prices else { return (cost, Vec::new()) };
        let (money, unpriced) = Goods::of(&trial.job, &trial.rough_in).beyond(&self.goods, prices);
        (cost.and_money(self.weights, money), unpriced)
    }

    /// Whether a finding was told before under another name: a piece that is cut in two for a tee has a new name, and what it
    /// runs into was there already, to the same hundredth.
    pub fn stood(&self, finding: &Finding) -> bool {
        // A trap that had no vent and has none yet is told with other names, too: the combination asks for all of them.
        if finding.rule == "trap-not-vented"
            && self.needs.iter().any(|n| finding.labels.first() == Some(&n.name))
        {
            return true;
        }
        self.before.iter().any(|was| {
            let alike = match (was.measured, finding.measured) {
                (Some(was), Some(is)) => (was - is).abs() < 0.01,
                _ => false,
            };
            alike
                && was.rule == finding.rule
                && was.verdict <= finding.verdict
                && was.labels.iter().any(|l| finding.labels.contains(l))
                && was.at.zip(finding.at).is_some_and(|(was, is)| (was - is).norm() < 1.0)
        })
    }

    /// Tries the steps of several vents together, and provides what they lack; why not, where something stays red.
    fn settled(&self, vents: &[Listed<'_>], kept: &Kept) -> Result<Settled, String> {
        let mut steps: Vec<(usize, Vec<Step>)> = vents.iter().map(|(i, s)| (*i, s.to_vec())).collect();
        for round in 0..=ROUNDS {
            let lists: Vec<Listed<'_>> = steps.iter().map(|(i, s)| (*i, s.as_slice())).collect();
            let (edits, names) = edits(self.bench.job, &lists, kept);
            let put = put(self.bench, edits).map_err(|why| why.to_string())?;
            let stops = |f: &Finding| provides(f).is_none() && !self.stood(f);
            let measured = first_look(self.bench, &put, self.before, stops).map_err(|red| red.to_string())?;
            self.trials.set(self.trials.get() + 1);
            let trial = put.hold_measured(self.bench, self.before, measured);
            let red = || trial.breaks.iter().filter(|f| f.verdict == Verdict::RedTag && !self.stood(f));
            let Some(first) = red().next() else { return Ok((steps, trial, names)) };
            let lacking: Vec<Provided> = red().filter_map(provides).flatten().collect();
            let helped = red().all(|f| provides(f).is_some()) && round < ROUNDS;
            if !helped {
                let worst = red().find(|f| provides(f).is_none()).unwrap_or(first);
                return Err(worst.to_string());
            }
            let list = &mut steps[0].1;
            for item in lacking {
                let step = Step::Provide(Box::new(item));
                if !list.contains(&step) {
                    list.push(step);
                }
            }
        }
        Err("more is lacking than can be provided".to_owned())
    }
}

fn vents_of(bench: &Bench<'_>, trial: &Trial) -> truefall_check::vent::Vents {
    vents(bench, &trial.rough_in, trial.job.cut_on)
}

fn refits(steps: &[Step]) -> i64 {
    steps.iter().filter(|s| matches!(s, Step::Replace { .. })).count() as i64
}

/// Whether a finding only wants something provided.
pub(super) fn provided(finding: &Finding) -> bool {
    provides(finding).is_some()
}

/// What would meet a finding that something is not provided.
fn provides(finding: &Finding) -> Option<Vec<Provided>> {
    if finding.rule == "hanger-too-far" {
        return Some(vec![Provided::Hanger { on: finding.labels.first()?.clone(), at: None, to: None }]);
    }
    let cure = finding.cures.first()?;
    cure.edits
        .iter()
        .map(|edit| match edit {
            Edit::Provided(Change::Insert { item, .. }) => Some((**item).clone()),
            _ => None,
        })
        .collect()
}

fn provided_words(item: &Provided) -> String {
    match item {
        Provided::Plate { member, .. } => format!("a steel plate on {member}"),
        Provided::Strap { member, .. } => format!("a metal tie across {member}"),
        Provided::Hanger { on, .. } => format!("hangers on {on}"),
        Provided::Hole { of, size, .. } => format!("a {size} hole for {of}"),
        Provided::Blocking { at, .. } => format!("blocking at {at}"),
        Provided::DoubledStud { wall, .. } => format!("a second stud in {wall}"),
        Provided::Cleanout { at } => format!("a cleanout at {at}"),
        Provided::Access { to, .. } => format!("a panel at {to}"),
    }
}
