//! The plan of vents as text.

use super::page::{Look, Page};
use super::style::Tone;
use crate::vents::{CostRow, OfferRow, VentReport};

/// The plan of vents on a page.
pub fn vents(report: &VentReport, look: Look) -> String {
    let mut page = Page::new(look);
    page.heading(&format!("Vents of {}", report.job));
    page.line(
        2,
        Tone::Plain,
        &format!("held to {}; confirm with the local official before anything is cut", report.code),
    );
    if report.traps.is_empty() {
        page.line(2, Tone::Plain, "every trap has a vent by a method of the code; nothing is to be planned");
        return page.into_text();
    }
    page.heading("Traps without a vent");
    for trap in &report.traps {
        page.line(2, Tone::RedTag, &trap.fixture);
        for (i, why) in trap.tried.iter().enumerate() {
            page.named(4, if i == 0 { "as it is  " } else { "          " }, Tone::Plain, why);
        }
        let numbers: Vec<String> = trap.offers.iter().map(|n| format!("no. {n}")).collect();
        let offers = if numbers.is_empty() {
            format!("none; {} tried in vain", trap.in_vain)
        } else {
            format!("{}, cheapest first; {} more ways were tried in vain", numbers.join(", "), trap.in_vain)
        };
        page.named(4, "offers    ", Tone::Plain, &offers);
        for (i, row) in trap.why_not.iter().enumerate() {
            let times = if row.times > 1 { format!(" ({} of them)", row.times) } else { String::new() };
            page.named(
                4,
                if i == 0 { "why not   " } else { "          " },
                Tone::Faint,
                &format!("{}{times}: {}", row.kind, row.why),
            );
        }
        page.blank();
    }
    for offer in &report.offers {
        one(&mut page, offer);
    }
    page.heading("The cheapest for the whole job");
    match (&report.combination[..], &report.cost) {
        ([], _) | (_, None) => page.line(2, Tone::Plain, "none was found that holds as one job"),
        (numbers, Some(total)) => {
            let numbers: Vec<String> = numbers.iter().map(|n| format!("no. {n}")).collect();
            page.line(
                2,
                Tone::Plain,
                &format!("{}, put into one copy of the job, which turns nothing red", numbers.join(" and ")),
            );
            let words = cost(&page, total);
            page.named(4, "cost      ", Tone::Plain, &words);
            unpriced(&mut page, &report.without_price);
            if !report.cheapest {
                let words =
                    "whether another combination is cheaper is not known: too many would have to be tried";
                page.line(2, Tone::Watch, words);
            }
        }
    }
    let vented: Vec<&str> = (report.offers.iter())
        .filter(|o| report.combination.contains(&o.number))
        .flat_map(|o| o.vents.iter().map(|v| v.fixture.as_str()))
        .collect();
    let left: Vec<&str> =
        report.traps.iter().map(|t| t.fixture.as_str()).filter(|f| !vented.contains(f)).collect();
    if !left.is_empty() {
        page.line(2, Tone::RedTag, &format!("still without a vent: {}", left.join(", ")));
    }
    page.into_text()
}

fn one(page: &mut Page, offer: &OfferRow) {
    let with = offer.with.map_or(String::new(), |n| format!(", that of no. {n}"));
    page.heading(&format!("No. {}  {}{with}", offer.number, offer.kind));
    let vents: Vec<String> = offer.vents.iter().map(|v| format!("{} ({})", v.fixture, v.method)).collect();
    page.named(4, "vents     ", Tone::Plain, &vents.join(", "));
    for (i, step) in offer.steps.iter().enumerate() {
        page.named(4, if i == 0 { "do        " } else { "          " }, Tone::Plain, step);
    }
    let more = if offer.with.is_some() { "on top of that one " } else { "" };
    let words = format!("{more}{}", cost(page, &offer.cost));
    page.named(4, "cost      ", Tone::Plain, &words);
    for (i, line) in offer.figures.iter().enumerate() {
        page.named(4, if i == 0 { "figures   " } else { "          " }, Tone::Plain, line);
    }
    unpriced(page, &offer.without_price);
    for (i, remark) in offer.remarks.iter().enumerate() {
        page.named(4, if i == 0 { "mind      " } else { "          " }, Tone::Watch, remark);
    }
}

fn unpriced(page: &mut Page, names: &[String]) {
    if !names.is_empty() {
        page.named(4, "no price  ", Tone::Watch, &format!("{}; not counted", names.join(", ")));
    }
}

fn cost(page: &Page, cost: &CostRow) -> String {
    let mut parts = vec![format!("{} joints", cost.joints), format!("{} of pipe", page.length(cost.pipe))];
    for (count, one, many) in [
        (cost.holes, "hole in wood", "holes in wood"),
        (cost.roofs, "way out through the roof", "ways out through the roof"),
        (cost.valves, "air admittance valve", "air admittance valves"),
        (cost.provided, "plate or the like", "plates and the like"),
    ] {
        if count > 0 {
            parts.push(format!("{count} {}", if count == 1 { one } else { many }));
        }
    }
    if cost.open > 0.5 {
        parts.push(format!("{} in the open room", page.length(cost.open)));
    }
    if let Some(price) = cost.price {
        parts.push(format!("{price:.2} by your prices"));
    }
    format!("{:.1} points: {}", cost.points, parts.join(", "))
}
