//! The pool: all candidates, and what became of those that were tried.

use super::candidate::Candidate;
use super::cover::Covers;
use super::offer::{Offer, Refusal, VentPlan};
use super::step::Kept;
use super::tries::{Tries, Whole};
use std::collections::BTreeSet;

/// One candidate of the pool.
#[derive(Debug)]
pub(super) struct Way {
    pub candidate: Candidate,
    pub outcome: Outcome,
}

/// What became of a candidate.
#[derive(Debug)]
pub(super) enum Outcome {
    /// It was not tried.
    Untried,
    /// It does not hold.
    Refused,
    /// It holds.
    Offered(Box<Offer>),
}

/// All candidates, in the order they were thought of: a vent stands before those that are joined to it.
#[derive(Debug, Default)]
pub(super) struct Pool {
    pub ways: Vec<Way>,
    pub refusals: Vec<Refusal>,
}

/// Rules that a larger vent may satisfy.
const FOR_SIZE: [&str; 3] = ["vent-too-small", "vent-too-long", "vent-frost-too-small"];

impl Pool {
    /// Puts a candidate in, unless it is there.
    pub fn put(&mut self, candidate: Candidate) {
        let known = |w: &Way| w.candidate.steps == candidate.steps;
        if !self.ways.iter().any(known) {
            self.ways.push(Way { candidate, outcome: Outcome::Untried });
        }
    }

    /// Those not tried yet.
    pub fn untried(&self) -> impl Iterator<Item = usize> {
        (0..self.ways.len()).filter(|i| matches!(self.ways[*i].outcome, Outcome::Untried))
    }

    /// Those that hold.
    pub fn offers(&self) -> impl Iterator<Item = &Offer> {
        self.ways.iter().filter_map(|w| match &w.outcome {
            Outcome::Offered(offer) => Some(&**offer),
            _ => None,
        })
    }

    /// The offer a candidate came to.
    pub fn offer(&self, i: usize) -> Option<&Offer> {
        match &self.ways[i].outcome {
            Outcome::Offered(offer) => Some(offer),
            _ => None,
        }
    }

    /// Whether a need has no offer, and a way was refused for the size of its vent.
    pub fn too_small(&self, need: usize) -> bool {
        let small = |r: &Refusal| {
            r.need.is_none_or(|n| n == need) && FOR_SIZE.iter().any(|rule| r.why.contains(rule))
        };
        self.offers().all(|o| !o.needs.contains(&need)) && self.refusals.iter().any(small)
    }

    /// Tries a candidate; the offer it comes to.
    pub fn settle(&mut self, tries: &Tries<'_>, i: usize) -> Option<&Offer> {
        if matches!(self.ways[i].outcome, Outcome::Untried) {
            let outcome = match self.ways[i].candidate.host {
                None => tries.offer((i, &self.ways[i].candidate), None, &Kept::new()),
                Some(host) => match self.settle(tries, host).cloned() {
                    None => Err("the vent it would be joined to does not hold".to_owned()),
                    Some(offer) => {
                        tries.offer((i, &self.ways[i].candidate), Some((host, &offer)), &Kept::new())
                    }
                },
            };
            let least = tries.at_least(&self.ways[i].candidate);
            let way = &mut self.ways[i];
            // The search is exact only as long as this holds.
            debug_assert!(
                outcome.as_ref().map_or(true, |o| least <= o.cost.points.max(0.0) + 1e-6),
                "{} costs {:?}, at the least {least}",
                way.candidate.words.join(", "),
                outcome.as_ref().map(|o| o.cost.points),
            );
            way.outcome = match outcome {
                Ok(offer) => Outcome::Offered(Box::new(offer)),
                Err(why) => {
                    let Candidate { kind, need, words, .. } = way.candidate.clone();
                    self.refusals.push(Refusal { kind, need, words, why });
                    Outcome::Refused
                }
            };
        }
        self.offer(i)
    }

    /// Words, figures and edits of those in a set again, with the names they have in it.
    pub fn call_by(&mut self, tries: &Tries<'_>, set: &BTreeSet<usize>, names: &Kept) {
        for i in set {
            let host = self.ways[*i].candidate.host.and_then(|h| Some((h, self.offer(h)?.clone())));
            let host = host.as_ref().map(|(h, offer)| (*h, offer));
            if let Ok(offer) = tries.offer((*i, &self.ways[*i].candidate), host, names) {
                self.ways[*i].outcome = Outcome::Offered(Box::new(offer));
            }
        }
    }

    /// A candidate as the combination sees it; one that was not tried at its least.
    pub fn covers(&self, tries: &Tries<'_>, i: usize) -> Covers {
        let way = &self.ways[i];
        let with = way.candidate.host;
        match &way.outcome {
            Outcome::Refused => Covers { points: 0.0, needs: BTreeSet::new(), with },
            Outcome::Untried => {
                let points = tries.at_least(&way.candidate);
                Covers { points, needs: way.candidate.mends.keys().copied().collect(), with }
            }
            Outcome::Offered(offer) => {
                Covers { points: offer.cost.points.max(0.0), needs: offer.needs.clone(), with }
            }
        }
    }

    /// Writes what came of it into a plan: offers cheapest first, those of the combination, and what was tried in vain.
    pub fn into_plan(self, plan: &mut VentPlan, chosen: Option<(BTreeSet<usize>, Whole, bool)>) {
        plan.refusals = self.refusals;
        let mut offers: Vec<(usize, Offer)> = Vec::new();
        for (i, way) in self.ways.into_iter().enumerate() {
            if let Outcome::Offered(offer) = way.outcome {
                offers.push((i, *offer));
            }
        }
        offers.sort_by(|a, b| a.1.cost.points.total_cmp(&b.1.cost.points).then(a.0.cmp(&b.0)));
        let place = |i: &usize| offers.iter().position(|o| o.0 == *i);
        if let Some((set, whole, cheapest)) = chosen {
            plan.chosen = set.iter().filter_map(place).collect();
            plan.chosen.sort_unstable();
            (plan.cost, plan.edits, plan.cheapest) = (Some(whole.cost), whole.edits, cheapest);
            plan.unpriced = whole.unpriced;
        } else {
            plan.cheapest = false;
        }
        let with: Vec<Option<usize>> = offers.iter().map(|o| o.1.with.and_then(|w| place(&w))).collect();
        plan.offers = offers.into_iter().map(|o| o.1).collect();
        for (offer, with) in plan.offers.iter_mut().zip(with) {
            offer.with = with;
        }
        for (i, need) in plan.needs.iter().enumerate() {
            if plan.offers.iter().all(|o| !o.needs.contains(&i))
                && plan.refusals.iter().all(|r| r.need != Some(i))
            {
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
    }
}
