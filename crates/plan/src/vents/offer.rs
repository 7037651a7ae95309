//! Offers: candidates that were tried and hold, and the plan made of them.

use super::candidate::Candidate;
use super::cost::{Cost, Weights};
use super::cover::{Covers, cheapest};
use super::need::{Need, needs, vents};
use super::step::{Step, edits, worded};
use super::{open_end, takeoff, way_out};
use crate::trial::{Bench, Trial, attempt};
use std::collections::{BTreeMap, BTreeSet};
use truefall_check::{Finding, Verdict};
use truefall_model::framing::provided::Provided;
use truefall_model::job::Edit;
use truefall_model::job::edit::Change;
use truefall_model::label::Label;
use truefall_model::place::RoughIn;

/// Rounds in which what is lacking is provided before a candidate is given up.
const ROUNDS: usize = 4;

/// Combinations held to the rules before the search gives up.
const COMBINATIONS: usize = 60;

/// How many offers of one need are tried with those taken already, where no combination mends all.
const FEW: usize = 6;

/// What the caller wants.
#[derive(Debug, Clone, Copy)]
pub struct Wanted<'w> {
    /// How many offers for each trap.
    pub best: usize,
    /// What things cost.
    pub weights: &'w Weights,
}

/// A vent that holds.
#[derive(Debug, Clone)]
pub struct Offer {
    /// What it is, in a few words.
    pub kind: &'static str,
    /// What is done, line by line.
    pub words: Vec<String>,
    /// The traps it mends and the method by which the code then has each vented.
    pub mends: Vec<(Label, String)>,
    /// Needs it mends, by their place in the plan.
    pub needs: BTreeSet<usize>,
    /// What it costs.
    pub cost: Cost,
    /// What the rules newly ask or note; nothing of it is red.
    pub remarks: Vec<Finding>,
    /// The edits of the job.
    pub edits: Vec<Edit>,
    steps: Vec<Step>,
}

/// A candidate that does not hold, and what stopped it.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What it is, in a few words.
    pub kind: &'static str,
    /// The need it was made for, by its place in the plan; none for an end that is opened.
    pub need: Option<usize>,
    /// What was tried, line by line.
    pub words: Vec<String>,
    /// What stopped it.
    pub why: String,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct VentPlan {
    /// The traps without a lawful vent.
    pub needs: Vec<Need>,
    /// The offers, cheapest first.
    pub offers: Vec<Offer>,
    /// What was tried in vain.
    pub refusals: Vec<Refusal>,
    /// The cheapest combination that mends all that can be mended, places in `offers`; where none was found that holds, one
    /// that mends as many as it can.
    pub chosen: Vec<usize>,
    /// The same as one list of edits, tried as a whole.
    pub edits: Vec<Edit>,
    /// What it costs as a whole.
    pub cost: Option<Cost>,
}

impl VentPlan {
    /// Offers that mend a need, cheapest first.
    pub fn offers_for(&self, need: usize) -> impl Iterator<Item = (usize, &Offer)> {
        self.offers.iter().enumerate().filter(move |(_, o)| o.needs.contains(&need))
    }

    /// Of the offers that mend a need the cheapest of each kind, cheapest first.
    pub fn kinds_for(&self, need: usize) -> Vec<(usize, &Offer)> {
        let mut kinds = BTreeSet::new();
        self.offers_for(need).filter(|(_, o)| kinds.insert(o.kind)).collect()
    }
}

/// What all candidates are tried on.
struct Tries<'a> {
    bench: &'a Bench<'a>,
    rough_in: &'a RoughIn,
    before: &'a [Finding],
    needs: &'a [Need],
    weights: &'a Weights,
}

/// Plans the vents of a placed job. `before` is what the rules tell of it; `progress` hears how many candidates were tried and
/// how many there are.
pub fn plan(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    before: &[Finding],
    wanted: Wanted<'_>,
    progress: &mut dyn FnMut(usize, usize),
) -> VentPlan {
    let needs = needs(bench, rough_in);
    let mut plan = VentPlan {
        needs: needs.clone(),
        offers: Vec::new(),
        refusals: Vec::new(),
        chosen: Vec::new(),
        edits: Vec::new(),
        cost: None,
    };
    if needs.is_empty() {
        return plan;
    }
    let tries = Tries { bench, rough_in, before, needs: &needs, weights: wanted.weights };
    let candidates = candidates(&tries);
    let total = candidates.len();
    // By need: the cheapest offer of each kind so far.
    let mut points: BTreeMap<usize, BTreeMap<&'static str, f64>> = BTreeMap::new();
    for (i, (need, candidate)) in candidates.into_iter().enumerate() {
        progress(i, total);
        let least = candidate.at_least(wanted.weights);
        // Its own kind has a cheaper one, or the dearest of the best K kinds is cheaper than this can be.
        let full = |n: &usize| {
            points.get(n).is_some_and(|kinds| {
                let mut best: Vec<f64> = kinds.values().copied().collect();
                best.sort_by(f64::total_cmp);
                kinds.get(candidate.kind).is_some_and(|p| *p <= least)
                    || best.get(wanted.best - 1).is_some_and(|p| *p <= least)
            })
        };
        let settled = match need {
            Some(n) => full(&n),
            None => (0..needs.len()).all(|n| full(&n)),
        };
        if settled {
            continue;
        }
        match tries.offer(&candidate) {
            Ok(offer) => {
                for n in &offer.needs {
                    let best = points.entry(*n).or_default().entry(offer.kind).or_insert(f64::INFINITY);
                    *best = best.min(offer.cost.points);
                }
                plan.offers.push(offer);
            }
            Err(why) => {
                plan.refusals.push(Refusal { kind: candidate.kind, need, words: candidate.words, why })
            }
        }
    }
    progress(total, total);
    for (i, need) in needs.iter().enumerate() {
        if plan.offers_for(i).next().is_none() && plan.refusals.iter().all(|r| r.need != Some(i)) {
            plan.refusals.push(Refusal {
                kind: "takeoff",
                need: Some(i),
                words: Vec::new(),
                why: format!(
                    "no length of the drain of {} that lies is long enough for a combination or a wye from which a vent rises clear of wood",
                    need.name
                ),
            });
        }
    }
    plan.offers.sort_by(|a, b| a.cost.points.total_cmp(&b.cost.points));
    combine(&tries, &mut plan);
    plan
}

/// All candidates, those first that cost the least at the least.
fn candidates(tries: &Tries<'_>) -> Vec<(Option<usize>, Candidate)> {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let mut all: Vec<(Option<usize>, Candidate)> =
        open_end::candidates(bench, rough_in).into_iter().map(|c| (None, c)).collect();
    for (i, need) in tries.needs.iter().enumerate() {
        let least = takeoff::least_size(bench, need);
        for takeoff in takeoff::takeoffs(bench, rough_in, need, least) {
            for candidate in way_out::ways(bench, rough_in, &takeoff, need.fixture) {
                if all.iter().all(|(_, c)| c.steps != candidate.steps) {
                    all.push((Some(i), candidate));
                }
            }
        }
    }
    all.sort_by(|a, b| a.1.at_least(tries.weights).total_cmp(&b.1.at_least(tries.weights)));
    all
}

impl Tries<'_> {
    fn offer(&self, candidate: &Candidate) -> Result<Offer, String> {
        let (steps, trial, names) = self.settled(&[&candidate.steps])?;
        let after_bench = Bench { job: &trial.job, ..*self.bench };
        let left: BTreeSet<usize> = needs(&after_bench, &trial.rough_in).iter().map(|n| n.fixture).collect();
        let mended: BTreeSet<usize> =
            (0..self.needs.len()).filter(|n| !left.contains(&self.needs[*n].fixture)).collect();
        if mended.is_empty() {
            return Err("no trap is vented by it".to_owned());
        }
        let ways = vents(&after_bench, &trial.rough_in, trial.job.cut_on);
        let method = |n: &usize| {
            let need = &self.needs[*n];
            let method = ways.trap(need.fixture).and_then(|t| t.vent.as_ref()).map(|v| v.method.to_string());
            (need.name.clone(), method.unwrap_or_default())
        };
        let extra = steps[0].iter().skip(candidate.steps.len()).filter_map(|s| match s {
            Step::Provide(item) => Some(provided_words(item)),
            _ => None,
        });
        Ok(Offer {
            kind: candidate.kind,
            words: candidate.words.iter().cloned().chain(extra).map(|w| worded(&w, &names[0])).collect(),
            mends: mended.iter().map(method).collect(),
            cost: self.cost(&trial, &steps),
            remarks: trial.breaks.clone(),
            edits: trial.edits,
            needs: mended,
            steps: steps.into_iter().next().unwrap_or_default(),
        })
    }

    fn cost(&self, trial: &Trial, steps: &[Vec<Step>]) -> Cost {
        let refits = steps.iter().flatten().filter(|s| matches!(s, Step::Replace { .. })).count() as i64;
        let bench = self.bench;
        Cost::between(
            self.weights,
            bench.catalog,
            (bench.job, self.rough_in),
            (&trial.job, &trial.rough_in),
            refits,
        )
    }

    /// Whether a finding was told before under another name: a piece that is cut in two for a tee has a new name, and what it
    /// runs into was there already, to the same hundredth.
    fn stood(&self, finding: &Finding) -> bool {
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
    #[expect(
        clippy::type_complexity,
        reason = "the steps with what was provided, the trial and the names given"
    )]
    fn settled(
        &self,
        vents: &[&Vec<Step>],
    ) -> Result<(Vec<Vec<Step>>, Trial, Vec<BTreeMap<String, Label>>), String> {
        let mut steps: Vec<Vec<Step>> = vents.iter().map(|s| (*s).clone()).collect();
        for round in 0..=ROUNDS {
            let lists: Vec<&[Step]> = steps.iter().map(Vec::as_slice).collect();
            let (edits, names) = edits(self.bench.job, &lists);
            let trial = attempt(self.bench, self.before, edits).map_err(|why| why.to_string())?;
            let red = || trial.breaks.iter().filter(|f| f.verdict == Verdict::RedTag && !self.stood(f));
            let Some(first) = red().next() else { return Ok((steps, trial, names)) };
            let lacking: Vec<Provided> = red().filter_map(provides).flatten().collect();
            let helped = red().all(|f| provides(f).is_some()) && round < ROUNDS;
            if !helped {
                let worst = red().find(|f| provides(f).is_none()).unwrap_or(first);
                return Err(worst.to_string());
            }
            let list = &mut steps[0];
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

/// The cheapest combination that holds as a whole; where none was found that mends all, one that mends what it can.
fn combine(tries: &Tries<'_>, plan: &mut VentPlan) {
    let can: BTreeSet<usize> = plan.offers.iter().flat_map(|o| o.needs.iter().copied()).collect();
    if can.is_empty() {
        return;
    }
    let covers: Vec<Covers> = plan
        .offers
        .iter()
        .map(|o| Covers { points: o.cost.points.max(0.0), needs: o.needs.clone() })
        .collect();
    let mut kept = None;
    let chosen = cheapest(&covers, &can, COMBINATIONS, |set| {
        kept = held(tries, &plan.offers, set, &can);
        kept.is_some()
    });
    let chosen = chosen.unwrap_or_else(|| {
        let (chosen, best) = as_far_as_it_goes(tries, &plan.offers, &can);
        kept = best;
        chosen
    });
    if let Some((cost, edits)) = kept {
        plan.chosen = chosen.into_iter().collect();
        (plan.cost, plan.edits) = (Some(cost), edits);
    }
}

/// What a set of offers costs and changes as one job, where they hold together and mend `wanted`.
fn held(
    tries: &Tries<'_>,
    offers: &[Offer],
    set: &BTreeSet<usize>,
    wanted: &BTreeSet<usize>,
) -> Option<(Cost, Vec<Edit>)> {
    let lists: Vec<&Vec<Step>> = set.iter().map(|o| &offers[*o].steps).collect();
    let (steps, trial, _) = tries.settled(&lists).ok()?;
    let bench = Bench { job: &trial.job, ..*tries.bench };
    let left = needs(&bench, &trial.rough_in);
    let all = wanted.iter().all(|n| left.iter().all(|l| l.fixture != tries.needs[*n].fixture));
    all.then(|| (tries.cost(&trial, &steps), trial.edits))
}

/// Offers taken one after the other, cheapest first, as long as they hold with those taken: the cheapest is taken alone, for
/// each need that is left the first that goes with the rest. Not the cheapest there is, but one that was tried.
fn as_far_as_it_goes(
    tries: &Tries<'_>,
    offers: &[Offer],
    can: &BTreeSet<usize>,
) -> (BTreeSet<usize>, Option<(Cost, Vec<Edit>)>) {
    let (mut chosen, mut mended, mut best) = (BTreeSet::new(), BTreeSet::new(), None);
    for need in can {
        if mended.contains(need) {
            continue;
        }
        for (i, offer) in offers.iter().enumerate().filter(|(_, o)| o.needs.contains(need)).take(FEW) {
            let mut set = chosen.clone();
            set.insert(i);
            let wanted: BTreeSet<usize> = mended.union(&offer.needs).copied().collect();
            if let Some(this) = held(tries, offers, &set, &wanted) {
                (chosen, mended, best) = (set, wanted, Some(this));
                break;
            }
        }
    }
    (chosen, best)
}
