//! The plan of vents laid out once, for text and for JSON alike.

use serde::Serialize;
use truefall_plan::vents::{Cost, Offer, VentPlan};

/// The plan of a job's vents.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VentReport {
    /// Version of this form.
    pub schema: u32,
    /// The job's name.
    pub job: String,
    /// The code and its edition.
    pub code: String,
    /// The traps without a lawful vent.
    pub traps: Vec<TrapRow>,
    /// The cheapest combination: the numbers of its offers; empty where nothing can be mended.
    pub combination: Vec<usize>,
    /// Whether no other combination of the ways listed is cheaper; where not, the search gave up and this one was tried.
    pub cheapest: bool,
    /// What the combination costs.
    pub cost: Option<CostRow>,
    /// What of the combination has no price; empty where no prices were given.
    pub without_price: Vec<String>,
    /// The offers told, by their numbers.
    pub offers: Vec<OfferRow>,
}

/// A trap without a lawful vent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrapRow {
    /// Its fixture.
    pub fixture: String,
    /// Why each method fails as the job is.
    pub tried: Vec<String>,
    /// Numbers of the offers that vent it, cheapest first.
    pub offers: Vec<usize>,
    /// What was tried in vain, each with how often and what stopped it; only where it was asked for.
    pub why_not: Vec<WhyNotRow>,
    /// How many ways were tried in vain.
    pub in_vain: usize,
}

/// A kind of vent tried in vain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhyNotRow {
    /// What it is.
    pub kind: String,
    /// What stopped it.
    pub why: String,
    /// How many of its kind were stopped by that rule; the words are of the first.
    pub times: usize,
}

/// One offer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OfferRow {
    /// Its number, from 1; cheapest first.
    pub number: usize,
    /// What it is.
    pub kind: String,
    /// The offer whose vent it is joined to; it is nothing without that one, whose cost is not in its own.
    pub with: Option<usize>,
    /// What is done, line by line.
    pub steps: Vec<String>,
    /// The traps it vents, each with its method.
    pub vents: Vec<VentedRow>,
    /// What it costs.
    pub cost: CostRow,
    /// How large, long and high its vents are, each beside what the code asks and its section.
    pub figures: Vec<String>,
    /// What of it has no price; empty where no prices were given.
    pub without_price: Vec<String>,
    /// What the rules newly ask or note.
    pub remarks: Vec<String>,
}

/// A trap and the method by which it is vented.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VentedRow {
    /// The fixture.
    pub fixture: String,
    /// The method.
    pub method: String,
}

/// What something costs, beyond the job as it is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CostRow {
    /// All of it in points.
    pub points: f64,
    /// Joints made.
    pub joints: i64,
    /// Pipe, inches.
    pub pipe: f64,
    /// Holes in wood.
    pub holes: i64,
    /// Ways out through the roof.
    pub roofs: i64,
    /// Air admittance valves.
    pub valves: i64,
    /// Plates, ties, panels.
    pub provided: i64,
    /// Pipe in the open room, inches.
    pub open: f64,
    /// What fittings, pipe by the foot, valves, plates and ties cost by the user's prices, in whole units of his money; null
    /// where he gave none.
    pub price: Option<f64>,
}

impl CostRow {
    fn of(cost: &Cost) -> Self {
        Self {
            points: cost.points,
            joints: cost.joints,
            pipe: cost.pipe.to_inches(),
            holes: cost.holes,
            roofs: cost.roofs,
            valves: cost.valves,
            provided: cost.provided,
            open: cost.open.to_inches().max(0.0),
            price: cost.money.map(|m| m.to_hundredths() as f64 / 100.0),
        }
    }
}

impl VentReport {
    /// Lays out a plan: the first `best` offers of each trap and those of the combination; what was tried in vain where
    /// `why_not` asks for it.
    pub fn of(job: &str, code: &str, plan: &VentPlan, best: usize, why_not: bool) -> Self {
        let mut told: Vec<usize> = plan.chosen.clone();
        let mut traps = Vec::new();
        for (i, need) in plan.needs.iter().enumerate() {
            let offers: Vec<usize> = plan.kinds_for(i).into_iter().take(best).map(|o| o.0).collect();
            told.extend(&offers);
            let mut rows: Vec<WhyNotRow> = Vec::new();
            let vain = || plan.refusals.iter().filter(|r| r.need.is_none_or(|n| n == i));
            for refusal in vain().filter(|_| why_not) {
                match rows.iter_mut().find(|r| r.kind == refusal.kind && fault(&r.why) == fault(&refusal.why))
                {
                    Some(row) => row.times += 1,
                    None => {
                        rows.push(WhyNotRow { kind: refusal.kind.into(), why: refusal.why.clone(), times: 1 })
                    }
                }
            }
            traps.push(TrapRow {
                fixture: need.name.to_string(),
                tried: need.tried.clone(),
                offers,
                why_not: rows,
                in_vain: vain().count(),
            });
        }
        // What one is joined to is told with it.
        let hosts: Vec<usize> = told.iter().filter_map(|o| plan.offers[*o].with).collect();
        told.extend(hosts);
        told.sort_unstable();
        told.dedup();
        // Numbers run over what is told.
        let number = |o: &usize| told.iter().position(|t| t == o).unwrap_or_default() + 1;
        for trap in &mut traps {
            trap.offers.iter_mut().for_each(|o| *o = number(o));
        }
        Self {
            schema: 1,
            job: job.to_owned(),
            code: code.to_owned(),
            traps,
            combination: plan.chosen.iter().map(number).collect(),
            cheapest: plan.cheapest,
            cost: plan.cost.as_ref().map(CostRow::of),
            without_price: plan.unpriced.clone(),
            offers: told.iter().map(|o| row(&number, *o, &plan.offers[*o])).collect(),
        }
    }

    /// The report as indented JSON with a line feed at its end.
    ///
    /// # Errors
    /// Only what `serde_json` itself reports.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

/// What stopped it without the where: the rule, if it was one.
fn fault(why: &str) -> &str {
    why.split_once(']').map_or(why, |(rule, _)| rule)
}

fn row(numbered: &dyn Fn(&usize) -> usize, place: usize, offer: &Offer) -> OfferRow {
    OfferRow {
        number: numbered(&place),
        kind: offer.kind.to_owned(),
        with: offer.with.as_ref().map(numbered),
        steps: offer.words.clone(),
        vents: offer
            .mends
            .iter()
            .map(|(fixture, method)| VentedRow { fixture: fixture.to_string(), method: method.clone() })
            .collect(),
        cost: CostRow::of(&offer.cost),
        figures: offer.figures.clone(),
        without_price: offer.unpriced.clone(),
        remarks: offer.remarks.iter().map(ToString::to_string).collect(),
    }
}
