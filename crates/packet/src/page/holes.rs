//! The hole schedule: floors, closets, members in the order to drill, and what to pencil on the wood.

use super::frame::{list, table};
use crate::markup::Markup;
use crate::plans::Plans;
use crate::say::Say;
use crate::text::holes::{CAUTIONS, bay, differs, left, offs, other, place, provided, step};
use truefall_plan::holes::{HoleSchedule, MemberHole};

/// Every hole and notch.
pub fn holes(plans: &Plans, say: Say) -> Markup {
    let mut m = Markup::new();
    let schedule = &plans.holes;
    m.line("p", &[], &format!("Drilled to the rough-in as {}.", schedule.drill_to));
    m.tag("div", &[("class", "caution")], |m| {
        let mut told = vec!["drill nothing that a red tag names".to_owned()];
        told.extend(CAUTIONS.iter().map(|c| (*c).to_owned()));
        list(m, &told);
    });
    floors(&mut m, schedule, say);
    closets(&mut m, schedule, say);
    for run in schedule.members.chunk_by(|a, b| a.run == b.run) {
        members(&mut m, run, say);
    }
    if !schedule.members.is_empty() {
        m.line("p", &[("class", "small")], "Centre: off the rough floor, or along the wall or the member from its first end. Wood left: a stud's or plate's back, a joist's bottom first. Drop: below the highest hole of that length, each rounded by itself. Drill the two ends first, a string through them, then what lies between.");
        pencil(&mut m, schedule);
    }
    m.line("h3", &[], &format!("As {}", other(schedule)));
    let lines = differs(say, schedule);
    if lines.is_empty() {
        m.line("p", &[], "Every hole is where it is drilled, to the mark.");
    } else {
        list(&mut m, &lines);
        m.line("p", &[("class", "small")], "On: farther from what its centre is counted from. Across: farther from its back or bottom. Minus is nearer.");
    }
    m
}

fn floors(m: &mut Markup, schedule: &HoleSchedule, say: Say) {
    for floor in schedule.floors.chunk_by(|a, b| a.floor == b.floor) {
        let rows: Vec<Vec<String>> = floor
            .iter()
            .map(|hole| {
                let below = hole.below.as_ref().map_or_else(String::new, |(floor, off)| {
                    format!("; on {floor} the same point: {}", offs(say, off))
                });
                vec![
                    format!("F{}", hole.number),
                    say.length(hole.hole.to_inches()),
                    format!("{} of {}", hole.passes, hole.run),
                    offs(say, &hole.off),
                    format!("{}{below}", bay(say, &hole.bay)),
                ]
            })
            .collect();
        let heads = ["no.", "hole", "for", "from above", "below"];
        table(m, &format!("Floor {}: holes through the subfloor", floor[0].floor), &heads, &rows);
    }
    if !schedule.floors.is_empty() {
        m.line("p", &[("class", "small")], "Off a wall: from its bare studs, behind it from its finished face. Drill a pilot plumb through the centre first, find it from below, hold it to the measures there, then bore.");
    }
}

fn closets(m: &mut Markup, schedule: &HoleSchedule, say: Say) {
    let rows: Vec<Vec<String>> = schedule
        .closets
        .iter()
        .map(|ring| {
            vec![
                format!("{} of {}, floor {}", ring.flange, ring.fixture, ring.floor),
                offs(say, &ring.off),
                say.length(ring.over_rough.to_inches()),
                say.length(ring.over_finished.to_inches()),
                say.length(ring.shim.to_inches()),
            ]
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    let heads = [
        "ring",
        "centre",
        "underside over the subfloor",
        "over the finished floor",
        "rot-proof shim till then",
    ];
    table(m, "Closet rings", &heads, &rows);
}

fn members(m: &mut Markup, holes: &[MemberHole], say: Say) {
    let rows: Vec<Vec<String>> = holes
        .iter()
        .map(|hole| {
            let told: Vec<String> = hole.told.iter().map(|(v, rule)| format!("{v} {rule}")).collect();
            vec![
                hole.number.to_string(),
                hole.label.to_string(),
                say.length(hole.hole.to_inches()),
                place(say, hole),
                left(say, hole),
                hole.drop.as_ref().map_or_else(String::new, |d| say.length(d.down.to_inches())),
                step(hole).to_owned(),
                provided(hole),
                if told.is_empty() { hole.verdict().to_string() } else { told.join(", ") },
            ]
        })
        .collect();
    let heads = ["no.", "member", "hole", "centre", "wood left", "drop", "drill", "plate, strap", "verdict"];
    table(m, &format!("Members bored for {}", holes[0].run), &heads, &rows);
}

fn pencil(m: &mut Markup, schedule: &HoleSchedule) {
    let mut sorted: Vec<&MemberHole> = schedule.members.iter().collect();
    sorted.sort_by_key(|h| (h.member, h.number));
    let rows: Vec<Vec<String>> =
        sorted.iter().map(|h| vec![h.label.to_string(), h.number.to_string(), h.write.clone()]).collect();
    table(m, "Write this on the wood", &["member", "no.", "pencil line"], &rows);
}
