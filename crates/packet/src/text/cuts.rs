//! The cut list and the stock plan as text.

use super::page::{Look, Page};
use super::style::Tone;
use super::table::{Cell, Side, Table};
use truefall_model::units::Length;
use truefall_plan::cuts::{Cut, CutEnd, CutList};
use truefall_plan::stock::{StockOptions, StockPlan};

/// The cut list of a job with its stock plans.
pub fn cuts(list: &CutList, stock: &[StockPlan], options: &StockOptions, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(0, Tone::Heading, &list.job);
    page.line(0, Tone::Plain, &format!("cut list in the order of assembly, solved as {}", list.cut_on));
    let mut from = 0;
    for run in list.cuts.chunk_by(|a, b| a.run == b.run) {
        pieces(&mut page, run, from == 0);
        from += run.len();
    }
    if list.cuts.is_empty() {
        page.line(2, Tone::Plain, "there is no pipe in this job");
    }
    dry_fit(&mut page, list);
    joints(&mut page, list);
    bars(&mut page, stock, options);
    cautions(&mut page);
    page.into_text()
}

fn pieces(page: &mut Page, cuts: &[Cut], first: bool) {
    page.heading(&format!("{}, from its start outwards", cuts[0].run));
    let mut table = Table::new([
        (Side::Right, "no."),
        (Side::Left, "pipe"),
        (Side::Right, "cut"),
        (Side::Right, "centres"),
        (Side::Left, "from"),
        (Side::Left, "to"),
        (Side::Left, "marks"),
        (Side::Left, "note"),
    ]);
    for cut in cuts {
        table.row([
            cut.number.to_string().into(),
            format!("{} {}", cut.size, cut.material).into(),
            page.length(cut.cut.to_inches()).into(),
            page.length(cut.centre.to_inches()).into(),
            end(&cut.low).into(),
            Cell::from(cut.high.as_ref().map_or_else(|| "free end".to_owned(), end)),
            Cell::from(match &cut.high {
                Some(high) => format!("{}, {}", cut.low.mark, high.mark),
                None => cut.low.mark.clone(),
            }),
            note(cut).into(),
        ]);
    }
    page.table(&table);
    for cut in cuts.iter().filter(|cut| !cut.through.is_empty()) {
        let through: Vec<&str> = cut.through.iter().map(|l| l.as_str()).collect();
        page.named(2, &format!("{} goes through ", cut.number), Tone::Plain, &through.join(", "));
    }
    if first {
        let words = "cut: end to end, sockets counted; centres: from fitting centre to fitting centre; behind a fitting: the clock of \
                     its branch or turn";
        page.line(2, Tone::Faint, words);
    }
}

/// A part with its clock.
pub(crate) fn end(end: &CutEnd) -> String {
    match end.clock {
        Some(clock) => format!("{} {clock}", end.label),
        None => end.label.to_string(),
    }
}

/// What is out of the ordinary about a piece.
pub(crate) fn note(cut: &Cut) -> String {
    let mut words = Vec::new();
    if cut.make_up {
        words.push("hub to hub, no pipe shows");
    }
    if cut.closing {
        words.push("closes the tie: measure dry");
    } else {
        words.extend(cut.free_end);
    }
    words.join(", ")
}

fn dry_fit(page: &mut Page, list: &CutList) {
    page.heading("Dry fit, in this order");
    for (i, run) in list.dry_fit.iter().enumerate() {
        let mut text = format!("{} off {} {}: {}", run.run, run.from, run.port, run.steps.join(" - "));
        if let Some(to) = &run.closes {
            text.push_str(&format!(", closed into {to}"));
        }
        page.named(2, &format!("{:>2}  ", i + 1), Tone::Plain, &text);
    }
    let words = "numbers are pieces, names are fittings; glue in the same order once every mark is drawn and every grade is read";
    page.line(2, Tone::Faint, words);
}

fn joints(page: &mut Page, list: &CutList) {
    let direct: Vec<String> = list
        .joints
        .iter()
        .filter(|j| j.mark.starts_with('J'))
        .map(|j| format!("{} {} in {}", j.mark, j.high, j.low))
        .collect();
    page.heading(&format!("Joints: {}", list.joints.len()));
    if !direct.is_empty() {
        page.named(2, "fitting in fitting, no piece between: ", Tone::Plain, &direct.join(", "));
    }
    let words = "match marks: a line across hub and pipe, drawn dry with the fitting at its clock, named as in the list (7a towards the \
                 base, 7b away from it)";
    page.line(2, Tone::Faint, words);
}

fn bars(page: &mut Page, stock: &[StockPlan], options: &StockOptions) {
    let lengths: Vec<String> = options.lengths.iter().map(|l| l.to_string()).collect();
    page.heading(&format!("Out of lengths of {}, {} a cut", lengths.join(" and "), options.kerf));
    for plan in stock {
        page.line(2, Tone::Heading, &stock_head(plan));
        for (i, bar) in plan.bars.iter().enumerate() {
            let pieces: Vec<String> =
                bar.pieces.iter().map(|p| format!("{} at {}", p.number, p.cut)).collect();
            let keep = if bar.keep { ", keep it" } else { "" };
            let words = format!("{}; {} left{keep}", pieces.join(", "), bar.offcut);
            page.named(4, &format!("{:>2}  {:>6}  ", i + 1, bar.length.to_string()), Tone::Plain, &words);
        }
        for piece in &plan.too_long {
            let words = format!(
                "piece {} of {} is longer than any length sold: it needs a coupling",
                piece.number, piece.cut
            );
            page.line(2, Tone::RedTag, &words);
        }
        page.blank();
    }
}

/// What is bought of one pipe, and whether less would do.
pub(crate) fn stock_head(plan: &StockPlan) -> String {
    let bound = match plan.proven {
        true => "no plan buys less".to_owned(),
        false => format!("none can be below {}; whether one is shorter is not known", plan.least),
    };
    format!(
        "{} {}: {} of {} bought for {} of pieces; least by the bound {}: {bound}",
        plan.size,
        plan.material,
        counted(plan),
        plan.bought,
        plan.in_pieces,
        plan.least
    )
}

fn counted(plan: &StockPlan) -> String {
    match plan.bars.len() {
        1 => "1 length".to_owned(),
        many => format!("{many} lengths"),
    }
}

/// What to mind before cutting.
pub(crate) fn warnings() -> [String; 4] {
    let socket = Length::inches(1.0 / 16.0);
    [
        "lengths hold for the fittings of the catalog: measure one of each in the hand, and write it under in_hand".to_owned(),
        format!(
            "a cut is good to {socket} or so; dry, a pipe may stop short of the stop (common practice): mark the depth on the pipe and \
             push to the mark when you glue"
        ),
        "cut the first piece of each run, fit it, and measure before you cut the rest".to_owned(),
        "the local code and the inspector go before this sheet; a licensed plumber answers for the work".to_owned(),
    ]
}

fn cautions(page: &mut Page) {
    page.heading("Before you cut");
    for line in warnings() {
        page.named(2, "- ", Tone::Plain, &line);
    }
}
