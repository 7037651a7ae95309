//! Trap routes laid out: what starts where, with which fittings, holes and plates; and what stops the ways not taken.

use serde::Serialize;
use std::fmt::Write as _;
use truefall_model::units::{Fineness, Length};
use truefall_plan::route::{Answer, Miss, Route};

#[derive(Debug, Serialize)]
struct Sheet<'a> {
    schema: u32,
    fixture: &'a str,
    routes: Vec<RouteRow<'a>>,
    not_taken: Vec<MissRow<'a>>,
    states_settled: usize,
    tried_whole: usize,
}

#[derive(Debug, Serialize)]
struct RouteRow<'a> {
    points: f64,
    starts_at: &'a str,
    fittings: &'a [String],
    level: f64,
    holes: Vec<HoleRow<'a>>,
    plates: Vec<&'a str>,
    hangers: Vec<HangerRow<'a>>,
    way: &'a [String],
    price: Option<String>,
    without_price: &'a [String],
    wants_vent: bool,
    misfit: Option<f64>,
    tells: &'a [String],
    mends: &'a [String],
    still_red: &'a [String],
}

#[derive(Debug, Serialize)]
struct HoleRow<'a> {
    member: &'a str,
    hole: f64,
    share_of_limit: f64,
}

#[derive(Debug, Serialize)]
struct HangerRow<'a> {
    on: &'a str,
    along: Option<f64>,
}

#[derive(Debug, Serialize)]
struct MissRow<'a> {
    points: f64,
    starts_at: &'a str,
    fittings: &'a [String],
    stops: &'a [String],
    red: &'a [String],
    would_take: Vec<&'a str>,
    carpenter: &'a [String],
}

/// Routes as JSON, lengths in inches; `docs/routes.md` tells the fields.
///
/// # Errors
/// Only what `serde_json` itself reports.
pub fn routes_json(answer: &Answer) -> Result<String, serde_json::Error> {
    let routes = answer.routes.iter().map(|r| RouteRow {
        points: r.cost,
        starts_at: &r.tee,
        fittings: &r.fittings,
        level: r.level.to_inches(),
        holes: r
            .holes
            .iter()
            .map(|(member, hole, used)| HoleRow {
                member: member.as_str(),
                hole: hole.to_inches(),
                share_of_limit: *used,
            })
            .collect(),
        plates: r.plates.iter().map(|p| p.as_str()).collect(),
        hangers: r
            .hangers
            .iter()
            .map(|(on, at)| HangerRow { on: on.as_str(), along: at.map(Length::to_inches) })
            .collect(),
        way: &r.way,
        price: r.price.as_ref().map(|p| p.money.to_string()),
        without_price: r.price.as_ref().map_or(&[], |p| &p.unpriced),
        wants_vent: r.unvented,
        misfit: r.misfit.map(Length::to_inches),
        tells: &r.tells,
        mends: &r.mends,
        still_red: &r.still,
    });
    let not_taken = answer.misses.iter().map(|m| MissRow {
        points: m.cost,
        starts_at: &m.tee,
        fittings: &m.fittings,
        stops: &m.stops,
        red: &m.red,
        would_take: m.takes.iter().map(|t| t.words.as_str()).collect(),
        carpenter: &m.carpenter,
    });
    let sheet = Sheet {
        schema: 1,
        fixture: answer.fixture.as_str(),
        routes: routes.collect(),
        not_taken: not_taken.collect(),
        states_settled: answer.work.0,
        tried_whole: answer.work.1,
    };
    serde_json::to_string_pretty(&sheet).map(|text| text + "\n")
}

/// Routes for people.
pub fn routes_text(answer: &Answer, fineness: Fineness) -> String {
    let mut out = String::new();
    let fixture = &answer.fixture;
    let _ = match answer.routes.len() {
        0 => writeln!(out, "no lawful route for {fixture} among those looked at"),
        1 => writeln!(out, "one route for {fixture}, tried whole and accepted by all rules"),
        n => writeln!(
            out,
            "{n} routes for {fixture}, cheapest first, each tried whole and accepted by all rules"
        ),
    };
    for (i, route) in answer.routes.iter().enumerate() {
        one(&mut out, i + 1, route, fineness);
    }
    if !answer.misses.is_empty() {
        let _ = writeln!(out, "\nnot taken");
    }
    if answer.routes.is_empty() && answer.misses.is_empty() {
        let _ = writeln!(
            out,
            "\nno way on the lines looked at comes to the fixture at a height it can be drained at, stopped or not"
        );
    } else if answer.why_not && answer.misses.is_empty() {
        let _ =
            writeln!(out, "\nnot taken: none; no other way on the lines looked at is stopped by anything");
    }
    for miss in &answer.misses {
        not_taken(&mut out, miss);
    }
    let _ = writeln!(
        out,
        "\nA plan, not a permit: local code, the inspector and a licensed plumber decide; wood that carries load is cut only\n\
         as the official or an engineer allows. Look behind every face before drilling."
    );
    out
}

fn one(out: &mut String, number: usize, route: &Route, fineness: Fineness) {
    let _ = writeln!(out, "\nroute {number}: {:.1} points", route.cost);
    let _ = writeln!(out, "  starts at  {}", route.tee);
    let fittings =
        if route.fittings.is_empty() { "none, straight out".into() } else { route.fittings.join(", ") };
    let _ = writeln!(out, "  fittings   {fittings}");
    for (i, leg) in route.way.iter().enumerate() {
        let _ = writeln!(out, "  {:<9}  {leg}", if i == 0 { "way" } else { "" });
    }
    if route.holes.is_empty() {
        let _ = writeln!(out, "  holes      none");
    }
    for (i, (member, hole, used)) in route.holes.iter().enumerate() {
        let head = if i == 0 { "holes" } else { "" };
        let _ = writeln!(
            out,
            "  {head:<9}  {} in {member}, {:.0} % of what is allowed",
            hole.to_trade(fineness),
            used * 100.0
        );
    }
    for (i, plate) in route.plates.iter().enumerate() {
        let head = if i == 0 { "plates" } else { "" };
        let _ = writeln!(out, "  {head:<9}  {plate}");
    }
    for (i, (run, at)) in route.hangers.iter().enumerate() {
        let head = if i == 0 { "hangers" } else { "" };
        let at = at.map_or(String::new(), |at| format!(", {} along it", at.to_trade(fineness)));
        let _ = writeln!(out, "  {head:<9}  on {run}{at}");
    }
    if let Some(price) = &route.price {
        let without = match price.unpriced.as_slice() {
            [] => String::new(),
            names => format!("; without a price: {}", names.join(", ")),
        };
        let _ = writeln!(out, "  price      {} for fittings, pipe and plates{without}", price.money);
    }
    if let Some(misfit) = route.misfit {
        let _ = writeln!(out, "  lands      {} off, as drawn", misfit.to_trade(fineness));
    }
    if route.unvented {
        let _ = writeln!(out, "  vent       its trap has no vent there: plan that next");
    }
    for (head, lines) in [("tells", &route.tells), ("mends", &route.mends), ("still red", &route.still)] {
        for (i, line) in lines.iter().enumerate() {
            let _ = writeln!(out, "  {:<9}  {line}", if i == 0 { head } else { "" });
        }
    }
}

fn not_taken(out: &mut String, miss: &Miss) {
    let fittings = if miss.fittings.is_empty() { "straight out".into() } else { miss.fittings.join(", ") };
    let _ = writeln!(out, "  from {}: {fittings}", miss.tee);
    for stop in &miss.stops {
        let _ = writeln!(out, "    stopped by   {stop}");
    }
    for red in &miss.red {
        let _ = writeln!(out, "    would be     {red}");
    }
    for takes in &miss.takes {
        let _ = writeln!(out, "    it would take: {} (tried: nothing is red then)", takes.words);
    }
    for words in &miss.carpenter {
        let _ = writeln!(out, "    might help: {words}");
    }
}
