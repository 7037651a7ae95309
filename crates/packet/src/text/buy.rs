//! What to buy as text: materials, joints, what they come to, and what would do the same for less.

use super::page::{Look, Page};
use super::style::Tone;
use super::table::{Side, Table};
use crate::purchase::{Priced, Purchase};
use truefall_model::catalog::joint::JointKind;
use truefall_plan::buy::{Bill, Cost, JointCount, Offer};
use truefall_plan::prices::{Item, Money, Unit};

/// The sheet of one job.
pub fn buy(purchase: &Purchase<'_>, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(0, Tone::Heading, &purchase.bill.job);
    page.line(0, Tone::Plain, &format!("what to buy, for the rough-in as {}", purchase.bill.cut_on));
    materials(&mut page, purchase);
    joints(&mut page, purchase.bill);
    match &purchase.priced {
        Some(priced) => {
            otherwise(&mut page, purchase.bill, priced);
            taken(&mut page, priced);
        }
        None => page.line(
            2,
            Tone::Faint,
            "no prices were given: --template prints a file to fill in, --prices reads it, and then what costs less is told",
        ),
    }
    cautions(&mut page);
    page.into_text()
}

fn materials(page: &mut Page, purchase: &Purchase<'_>) {
    page.heading("Materials");
    let mut table = Table::new([
        (Side::Right, "count"),
        (Side::Left, "item"),
        (Side::Left, "material"),
        (Side::Right, "price"),
        (Side::Right, "comes to"),
        (Side::Left, "for"),
    ]);
    for (i, line) in purchase.bill.lines.iter().enumerate() {
        let price = purchase.priced.as_ref().map(|p| (p.prices.of(&line.item, line.unit), p.quote.sums[i]));
        let (one, sum) = match price {
            Some((one, sum)) => (told(one), told(sum)),
            None => Default::default(),
        };
        table.row([
            line.count.to_string().into(),
            named(&line.item, line.unit).into(),
            line.item.material().map_or(String::new(), |m| m.to_string()).into(),
            one.into(),
            sum.into(),
            short(&line.places).into(),
        ]);
    }
    page.table(&table);
    for line in purchase.bill.lines.iter().filter(|line| short(&line.places) == BELOW) {
        page.named(2, &format!("{}: ", line.item), Tone::Plain, &tallied(&line.places));
    }
    for piece in &purchase.bill.too_long {
        let words = format!(
            "piece {} of {} is longer than any length sold: it is not counted",
            piece.number, piece.cut
        );
        page.line(2, Tone::RedTag, &words);
    }
    if let Some(priced) = &purchase.priced {
        page.line(2, Tone::Heading, &total(priced.quote.total, priced.quote.unpriced()));
    }
    let words = "for: pipe by piece numbers of the cut list, fittings by name; a steel plate covers one side of one hole, and one \
                 taller plate may do for two plates on each other";
    page.line(2, Tone::Faint, words);
}

/// Places wider than this stand below the table.
const WIDEST: usize = 44;
const BELOW: &str = "see below";

fn short(places: &[String]) -> String {
    Some(tallied(places)).filter(|told| told.len() <= WIDEST).unwrap_or_else(|| BELOW.to_owned())
}

/// A price, or that there is none.
fn told(price: Option<Money>) -> String {
    price.map_or_else(|| "no price".to_owned(), |price| price.to_string())
}

fn total(sum: Money, unpriced: usize) -> String {
    match unpriced {
        0 => format!("total {sum}"),
        1 => format!("total {sum} without 1 item that has no price"),
        many => format!("total {sum} without {many} items that have no price"),
    }
}

/// An item with the length it is sold in.
fn named(item: &Item, unit: Unit) -> String {
    match unit {
        Unit::Length(length) => format!("{item}, {length}"),
        _ => item.to_string(),
    }
}

/// Places, each once, with how often where it is more.
fn tallied(places: &[String]) -> String {
    let mut once: Vec<(&str, usize)> = Vec::new();
    for place in places {
        match once.iter_mut().find(|(known, _)| known == place) {
            Some((_, count)) => *count += 1,
            None => once.push((place, 1)),
        }
    }
    let words =
        once.iter().map(|(place, n)| if *n > 1 { format!("{place} x {n}") } else { (*place).to_owned() });
    words.collect::<Vec<_>>().join(", ")
}

fn joints(page: &mut Page, bill: &Bill) {
    page.heading(&format!("Joints: {} to glue of {} in all", bill.glued(), bill.all_joints()));
    let mut table = Table::new([
        (Side::Right, "count"),
        (Side::Left, "joint"),
        (Side::Left, "size"),
        (Side::Left, "material"),
    ]);
    // Those to glue first; what is made with a gasket, bands or solder stands apart below them.
    let (glued, apart): (Vec<&JointCount>, Vec<&JointCount>) =
        bill.joints.iter().partition(|j| j.kind == JointKind::SolventWeld);
    for joint in glued.into_iter().chain(apart) {
        table.row([
            joint.count.to_string().into(),
            joint.kind.to_string().into(),
            joint.size.to_string().into(),
            joint.material.to_string().into(),
        ]);
    }
    page.table(&table);
    let words =
        "cement, primer and solder are not counted: there is no figure for how far a can goes in your hands";
    page.line(2, Tone::Faint, words);
}

fn otherwise(page: &mut Page, bill: &Bill, priced: &Priced<'_>) {
    page.heading("The same otherwise, each tried by itself");
    let mut table = Table::new([
        (Side::Left, "at"),
        (Side::Left, "buy"),
        (Side::Right, "joints"),
        (Side::Left, "cost"),
        (Side::Left, "note"),
    ]);
    for (i, offer) in priced.offers.iter().enumerate() {
        table.row([
            offer.swap.fitting.to_string().into(),
            offer.swap.words.clone().into(),
            signed(offer.joints).into(),
            cost(&offer.cost(bill, priced.prices)).into(),
            note(offer, priced.choice.taken.contains(&i)).into(),
        ]);
    }
    if table.is_empty() {
        page.line(2, Tone::Plain, "nothing else can be built here without a new red tag");
    } else {
        page.table(&table);
    }
    if priced.refused.is_empty() {
        return;
    }
    page.heading("Tried and refused");
    for refused in priced.refused {
        let what = format!("{}: ", refused.swap.words);
        page.named(2, &format!("{}  ", refused.swap.fitting), Tone::Faint, &(what + &refused.why));
    }
}

fn cost(cost: &Cost) -> String {
    match cost {
        Cost::Saves(sum) if *sum > Money::ZERO => format!("saves {sum}"),
        Cost::Saves(sum) if *sum < Money::ZERO => format!("costs {} more", Money::ZERO - *sum),
        Cost::Saves(_) => "costs the same".to_owned(),
        Cost::Unpriced(items) => {
            let names: Vec<String> = items.iter().map(ToString::to_string).collect();
            format!("not told: no price for {}", names.join(", "))
        }
    }
}

fn note(offer: &Offer, taken: bool) -> String {
    match (taken, offer.tells.first()) {
        (true, _) => "taken".to_owned(),
        (false, Some(first)) => format!("newly {}: {}", first.verdict, first.rule),
        (false, None) => String::new(),
    }
}

fn signed(joints: i64) -> String {
    if joints > 0 { format!("+{joints}") } else { joints.to_string() }
}

fn taken(page: &mut Page, priced: &Priced<'_>) {
    let choice = &priced.choice;
    if choice.taken.is_empty() {
        page.heading("Nothing that was tried costs less");
        return;
    }
    page.heading(&format!("Taken together they save {}", choice.saves));
    for at in &choice.taken {
        let swap = &priced.offers[*at].swap;
        page.named(2, &format!("{}: ", swap.fitting), Tone::Plain, &swap.words);
    }
    page.line(2, Tone::Heading, &total(priced.chosen.total, priced.chosen.unpriced()));
    let words = "taken one on the other, the most saving first, while nothing is newly told; cheaper mixtures are not ruled out; --apply \
                 writes them into the job";
    page.line(2, Tone::Faint, words);
}

fn cautions(page: &mut Page) {
    page.heading("Before you buy");
    let lines = [
        "prices are those of your file and nobody else's; waste, spares and tax are not in them",
        "fixtures, their traps' slip parts, screws, fire-stopping and the test plugs are not counted",
        "hold one of each fitting against the catalog before you buy the rest: makers differ",
        "whether a form of fitting is allowed is for the local code and the inspector",
    ];
    for line in lines {
        page.named(2, "- ", Tone::Plain, line);
    }
}
