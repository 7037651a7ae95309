//! The cut list, what it is sawn from, and the dry fit before the glue.

use super::frame::{BOX, list, table};
use crate::drawing::Subject;
use crate::markup::Markup;
use crate::plans::Plans;
use crate::say::Say;
use crate::text::cuts::{end, note, stock_head, warnings};
use truefall_model::place::PartId;
use truefall_plan::cuts::Assembly;
use truefall_plan::stock::StockPlan;

/// Every piece in the order of assembly, run by run.
pub fn cuts(plans: &Plans, say: Say) -> Markup {
    let mut m = Markup::new();
    let cuts = &plans.cuts;
    m.line("p", &[], &format!("Solved as {}, in the order of assembly. Cut: end to end, sockets counted. Centres: from fitting centre to fitting centre. Behind a fitting: the clock of its branch or turn.", cuts.cut_on));
    for run in cuts.cuts.chunk_by(|a, b| a.run == b.run) {
        let rows: Vec<Vec<String>> = run
            .iter()
            .map(|cut| {
                let marks = match &cut.high {
                    Some(high) => format!("{}, {}", cut.low.mark, high.mark),
                    None => cut.low.mark.clone(),
                };
                let through: Vec<&str> = cut.through.iter().map(|l| l.as_str()).collect();
                let mut notes = note(cut);
                if !through.is_empty() {
                    let comma = if notes.is_empty() { "" } else { ", " };
                    notes.push_str(&format!("{comma}through {}", through.join(", ")));
                }
                vec![
                    cut.number.to_string(),
                    format!("{} {}", cut.size, cut.material),
                    say.length(cut.cut.to_inches()),
                    say.length(cut.centre.to_inches()),
                    end(&cut.low),
                    cut.high.as_ref().map_or_else(|| "free end".to_owned(), end),
                    marks,
                    notes,
                ]
            })
            .collect();
        let heads = ["no.", "pipe", "cut", "centres", "from", "to", "match marks", "note"];
        table(&mut m, run[0].run.as_str(), &heads, &rows);
    }
    if cuts.cuts.is_empty() {
        m.line("p", &[], "There is no pipe in this job.");
    }
    m.tag("div", &[("class", "caution")], |m| list(m, &warnings()));
    stock(&mut m, plans, say);
    m
}

fn stock(m: &mut Markup, plans: &Plans, say: Say) {
    let length = |l: &truefall_model::units::Length| say.length(l.to_inches());
    let lengths: Vec<String> = plans.options.lengths.iter().map(length).collect();
    m.line("h3", &[], &format!("Out of lengths of {}", lengths.join(" and ")));
    m.line("p", &[], &format!("{} goes with each cut.", length(&plans.options.kerf)));
    for plan in &plans.stock {
        bars(m, plan, say);
    }
}

fn bars(m: &mut Markup, plan: &StockPlan, say: Say) {
    let rows: Vec<Vec<String>> = plan
        .bars
        .iter()
        .enumerate()
        .map(|(i, bar)| {
            let piece = |p: &truefall_plan::stock::Piece| {
                format!("{} at {}", p.number, say.length(p.cut.to_inches()))
            };
            let pieces: Vec<String> = bar.pieces.iter().map(piece).collect();
            let keep = if bar.keep { ", keep it" } else { "" };
            vec![
                (i + 1).to_string(),
                say.length(bar.length.to_inches()),
                pieces.join(", "),
                format!("{}{keep}", say.length(bar.offcut.to_inches())),
            ]
        })
        .collect();
    table(m, &stock_head(plan), &["no.", "length", "pieces, longest first", "left over"], &rows);
    for piece in &plan.too_long {
        let cut = say.length(piece.cut.to_inches());
        let words =
            format!("Piece {} of {cut} is longer than any length sold: it needs a coupling.", piece.number);
        m.line("p", &[("class", "caution")], &words);
    }
}

/// The visit before the glue: every joint with its match mark.
pub fn dry_fit(subject: &Subject<'_>, plans: &Plans) -> Markup {
    let mut m = Markup::new();
    m.line("p", &[], "Put it together dry, in this order. Set each fitting to its clock, draw the match mark across hub and pipe, and write its name on both sides: 7a is piece 7 towards the base, 7b away from it. Clock on a riser: 12 is +y on the plan, clockwise looking down; on a level joint 12 is up, looking downstream. Numbers are pieces, names are fittings.");
    for (i, run) in plans.cuts.dry_fit.iter().enumerate() {
        one_run(&mut m, subject, plans, (i + 1, run));
    }
    m.line("p", &[], "Glue in the same order, once every mark is drawn and every grade is read.");
    m
}

fn one_run(m: &mut Markup, subject: &Subject<'_>, plans: &Plans, (order, run): (usize, &Assembly)) {
    m.line("h3", &[], &format!("{order}. {} off {} {}", run.run, run.from, run.port));
    let mut way = run.steps.join(" - ");
    if let Some(to) = &run.closes {
        way.push_str(&format!(", closed into {to}"));
    }
    m.line("p", &[], &way);
    let facing = |label: &str| {
        let ends = plans.cuts.cuts.iter().flat_map(|c| std::iter::once(&c.low).chain(&c.high));
        ends.filter(|e| e.label.as_str() == label).find_map(|e| {
            let wall = e.wall.as_ref().map_or_else(String::new, |w| format!(", to {w}"));
            Some(format!("{}{wall}", e.clock?))
        })
    };
    let rough_in = subject.rough_in();
    let called = |(part, _): (PartId, usize)| match plans.cuts.cuts.iter().find(|c| c.piece == part) {
        Some(cut) => format!("piece {}", cut.number),
        None => rough_in.part(part).label.to_string(),
    };
    // What a fitting goes on is told where the fitting goes on: at the joint towards the base.
    let rows: Vec<Vec<String>> = plans
        .cuts
        .joints
        .iter()
        .filter(|joint| joint.run == run.run)
        .map(|joint| {
            let closing = if joint.closing { ", last of all" } else { "" };
            vec![
                joint.mark.clone(),
                {
                    let joint = rough_in.joint(joint.joint);
                    format!("{} and {}", called(joint.low), called(joint.high))
                },
                format!("{} {}{closing}", joint.size, joint.kind.word().replace('_', " ")),
                facing(joint.high.as_str()).unwrap_or_else(|| "no clock".to_owned()),
                BOX.to_owned(),
            ]
        })
        .collect();
    table(m, "Joints", &["match mark", "between", "joint", "clock", "dry ok"], &rows);
}
