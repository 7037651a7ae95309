//! The cut list and stock plans as JSON; every field is told in `docs/cuts.md`. Lengths are unrounded inches.

use serde_json::{Value, json};
use truefall_model::units::Length;
use truefall_plan::cuts::{Cut, CutEnd, CutList};
use truefall_plan::stock::{Piece, StockOptions, StockPlan};

/// The cut list of a job with its stock plans.
pub fn cuts(list: &CutList, stock: &[StockPlan], options: &StockOptions) -> Value {
    json!({
        "schema": super::SCHEMA,
        "job": list.job,
        "cut_on": list.cut_on.word(),
        "cuts": list.cuts.iter().map(cut).collect::<Vec<_>>(),
        "joints": list.joints.iter().map(|j| json!({
            "mark": j.mark, "run": j.run.as_str(), "kind": j.kind.word(), "material": j.material.word(),
            "size": j.size.to_string(), "low": j.low.as_str(), "high": j.high.as_str(), "closing": j.closing,
        })).collect::<Vec<_>>(),
        "dry_fit": list.dry_fit.iter().map(|run| json!({
            "run": run.run.as_str(), "from": run.from.as_str(), "port": run.port.as_str(), "steps": run.steps, "closes": run.closes,
        })).collect::<Vec<_>>(),
        "stock": {
            "lengths": options.lengths.iter().map(|l| l.to_inches()).collect::<Vec<_>>(),
            "kerf": options.kerf.to_inches(),
            "keep": options.keep.to_inches(),
            "plans": stock.iter().map(plan).collect::<Vec<_>>(),
        },
    })
}

fn cut(cut: &Cut) -> Value {
    json!({
        "number": cut.number,
        "run": cut.run.as_str(),
        "size": cut.size.to_string(),
        "material": cut.material.word(),
        "cut": cut.cut.to_inches(),
        "cut_on_tape": cut.on_tape().to_inches(),
        "centre": cut.centre.to_inches(),
        "showing": cut.showing.to_inches(),
        "make_up": cut.make_up,
        "low": end(&cut.low),
        "high": cut.high.as_ref().map(end),
        "free_end": cut.free_end,
        "through": cut.through.iter().map(|l| l.as_str()).collect::<Vec<_>>(),
        "closing": cut.closing,
    })
}

fn end(end: &CutEnd) -> Value {
    json!({
        "label": end.label.as_str(),
        "what": end.what,
        "port": end.port.as_str(),
        "socket": end.socket.to_inches(),
        "laying": end.laying.to_inches(),
        "clock": end.clock.map(|c| c.to_string()),
        "clock_deg": end.clock.map(|c| c.angle().to_degrees()),
        "wall": end.wall.as_ref().map(|w| w.as_str()),
        "mark": end.mark,
    })
}

/// A stock plan.
pub(super) fn plan(plan: &StockPlan) -> Value {
    let piece = |p: &Piece| json!({ "number": p.number, "cut": p.cut.to_inches() });
    let inches = Length::to_inches;
    json!({
        "material": plan.material.word(),
        "size": plan.size.to_string(),
        "bought": inches(plan.bought),
        "least": inches(plan.least),
        "proven": plan.proven,
        "in_pieces": inches(plan.in_pieces),
        "bars": plan.bars.iter().map(|bar| json!({
            "length": inches(bar.length), "pieces": bar.pieces.iter().map(piece).collect::<Vec<_>>(),
            "offcut": inches(bar.offcut), "keep": bar.keep,
        })).collect::<Vec<_>>(),
        "too_long": plan.too_long.iter().map(piece).collect::<Vec<_>>(),
    })
}
