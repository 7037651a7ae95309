//! What to buy as JSON; every field is told in `docs/buying.md`. Sums are in hundredths, lengths in unrounded inches.

use crate::purchase::{Priced, Purchase};
use serde_json::{Value, json};
use truefall_plan::buy::{Bill, Cost, Offer, Quote};
use truefall_plan::prices::{Item, Money, Unit};

/// The sheet of one job.
pub fn buy(purchase: &Purchase<'_>) -> Value {
    let bill = purchase.bill;
    json!({
        "schema": super::SCHEMA,
        "job": bill.job,
        "cut_on": bill.cut_on.word(),
        "lines": lines(bill, purchase.priced.as_ref().map(|p| &p.quote)),
        "joints": bill.joints.iter().map(|j| json!({
            "kind": j.kind.word(), "material": j.material.word(), "size": j.size.to_string(), "count": j.count,
        })).collect::<Vec<_>>(),
        "glued": bill.glued(),
        "too_long": bill.too_long.iter().map(|p| json!({ "number": p.number, "cut": p.cut.to_inches() })).collect::<Vec<_>>(),
        "priced": purchase.priced.as_ref().map(|p| priced(bill, p)),
    })
}

fn lines(bill: &Bill, quote: Option<&Quote>) -> Vec<Value> {
    let one = |(i, line): (usize, &truefall_plan::buy::Line)| {
        json!({
            "item": line.item.to_string(),
            "material": line.item.material().map(|m| m.word()),
            "length": match line.unit { Unit::Length(length) => Some(length.to_inches()), _ => None },
            "count": line.count,
            "for": line.places,
            "sum": quote.and_then(|q| q.sums[i]).map(Money::to_hundredths),
        })
    };
    bill.lines.iter().enumerate().map(one).collect()
}

fn priced(bill: &Bill, priced: &Priced<'_>) -> Value {
    json!({
        "total": priced.quote.total.to_hundredths(),
        "unpriced": priced.quote.unpriced(),
        "offers": priced.offers.iter().enumerate().map(|(i, offer)| {
            told(offer, &offer.cost(bill, priced.prices), priced.choice.taken.contains(&i))
        }).collect::<Vec<_>>(),
        "refused": priced.refused.iter().map(|r| json!({
            "fitting": r.swap.fitting.as_str(), "words": r.swap.words, "why": r.why,
        })).collect::<Vec<_>>(),
        "saves": priced.choice.saves.to_hundredths(),
        "chosen": {
            "lines": lines(&priced.choice.bill, Some(&priced.chosen)),
            "total": priced.chosen.total.to_hundredths(),
            "unpriced": priced.chosen.unpriced(),
        },
    })
}

fn told(offer: &Offer, cost: &Cost, taken: bool) -> Value {
    let (saves, unpriced): (Option<Money>, &[Item]) = match cost {
        Cost::Saves(sum) => (Some(*sum), &[]),
        Cost::Unpriced(items) => (None, items),
    };
    json!({
        "fitting": offer.swap.fitting.as_str(),
        "words": offer.swap.words,
        "joints": offer.joints,
        "saves": saves.map(Money::to_hundredths),
        "unpriced": unpriced.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "tells": offer.tells.iter().map(|f| json!({ "rule": f.rule, "verdict": f.verdict.to_string(), "what": f.what })).collect::<Vec<_>>(),
        "taken": taken,
    })
}
