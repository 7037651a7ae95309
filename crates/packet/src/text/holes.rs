//! The hole schedule as text.

use super::bores::tone;
use super::page::{Look, Page};
use super::style::Tone;
use super::table::{Cell, Side, Table};
use crate::say::Say;
use truefall_check::bore::Bit;
use truefall_check::bore::Shape;
use truefall_model::job::Placement;
use truefall_model::units::Length;
use truefall_plan::holes::{
    Bay, ClosetRing, Datum, Face, FloorHole, HoleSchedule, MemberHole, OffWall, Step, within_reach,
};

/// The schedule.
pub fn holes(schedule: &HoleSchedule, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(0, Tone::Heading, &schedule.job);
    page.line(0, Tone::Plain, &format!("hole schedule, drilled to the rough-in as {}", schedule.drill_to));
    for floor in schedule.floors.chunk_by(|a, b| a.floor == b.floor) {
        floor_holes(&mut page, floor);
    }
    closets(&mut page, &schedule.closets);
    members(&mut page, &schedule.members);
    elsewhere(&mut page, schedule);
    pencil(&mut page, &schedule.members);
    cautions(&mut page);
    page.into_text()
}

/// A measure off a wall.
pub(crate) fn off(say: Say, off: &OffWall) -> String {
    let rough = say.length(off.rough.to_inches());
    let finished = say.length(off.finished.to_inches());
    match off.face {
        Face::Along => format!("{rough} along {} from its first end", off.wall),
        Face::Past => format!("{rough} past the nearer end of {}", off.wall),
        Face::Into if off.carried_on => format!("{rough} into the line of {} (finish {finished})", off.wall),
        Face::Room if off.carried_on => {
            format!("{rough} off the line of the room side of {} (finish {finished})", off.wall)
        }
        Face::Back if off.carried_on => {
            format!("{rough} off the line of the back of {} (finish {finished})", off.wall)
        }
        Face::Into => format!("{rough} into {} (finish {finished})", off.wall),
        Face::Room => format!("{rough} off {} (finish {finished})", off.wall),
        Face::Back => format!("{rough} off the back of {} (finish {finished})", off.wall),
    }
}

/// The measures that fix a point of a floor.
pub(crate) fn offs(say: Say, measures: &[OffWall]) -> String {
    match measures {
        [] => "no wall of this floor is in the job".to_owned(),
        all => all.iter().map(|o| off(say, o)).collect::<Vec<_>>().join(", "),
    }
}

fn floor_holes(page: &mut Page, holes: &[FloorHole]) {
    page.heading(&format!("Floor {}: holes through the subfloor", holes[0].floor));
    for hole in holes {
        let size = page.length(hole.hole.to_inches());
        let head = format!("F{}  {size} for {} of {}", hole.number, hole.passes, hole.run);
        page.line(2, Tone::Heading, &head);
        let place = offs(page.say(), &hole.off);
        page.named(6, "from above  ", Tone::Plain, &place);
        let bay = bay(page.say(), &hole.bay);
        page.named(6, "below       ", Tone::Plain, &bay);
        if let Some((floor, off)) = &hole.below {
            let words = format!("on {floor}, the same point: {}", offs(page.say(), off));
            page.named(6, "            ", Tone::Plain, &words);
            if within_reach(off) && !within_reach(&hole.off) {
                let words = format!(
                    "no wall of {} stands beside it: mark it on {floor} and send the pilot up",
                    hole.floor
                );
                page.named(6, "            ", Tone::Plain, &words);
            }
        }
    }
    let words = "off a wall: from its bare studs, behind it from its finished face; drill a pilot plumb through the centre first, find it \
                 from below, check it against the measures there, then bore";
    page.line(2, Tone::Faint, words);
}

/// The joists beside a hole.
pub(crate) fn bay(say: Say, bay: &Bay) -> String {
    let mut words = Vec::new();
    if let Some(over) = &bay.over {
        words.push(format!("the centre is over {over}"));
    }
    for side in [&bay.before, &bay.after].into_iter().flatten() {
        let to = say.length(side.to_face.to_inches());
        let clear = side.clear.to_inches();
        let edge = if clear < 0.0 {
            format!("the bit hits it by {}", say.length(-clear))
        } else {
            format!("{} clear of the bit", say.length(clear))
        };
        words.push(format!("{to} to {} ({edge})", side.joist));
    }
    if words.is_empty() { "no joist of this floor is in the job".to_owned() } else { words.join(", ") }
}

fn closets(page: &mut Page, rings: &[ClosetRing]) {
    if rings.is_empty() {
        return;
    }
    page.heading("Closets");
    for ring in rings {
        page.line(2, Tone::Heading, &format!("{} of {}, floor {}", ring.flange, ring.fixture, ring.floor));
        let over = ring.over_finished.to_inches();
        let finished = match page.length(over.abs()).as_str() {
            "0\"" => "on the finished floor".to_owned(),
            by if over > 0.0 => format!("{by} over the finished floor"),
            by => format!("{by} below the finished floor"),
        };
        let rough = page.length(ring.over_rough.to_inches());
        let words = format!("underside {rough} over the subfloor, {finished}");
        page.named(6, "ring    ", Tone::Plain, &words);
        let place = offs(page.say(), &ring.off);
        page.named(6, "centre  ", Tone::Plain, &place);
        let words = format!(
            "{} of rot-proof shim between subfloor and ring until the floor is laid to it; screw through it into solid wood",
            ring.shim
        );
        page.named(6, "shim    ", Tone::Plain, &words);
    }
}

fn members(page: &mut Page, holes: &[MemberHole]) {
    for run in holes.chunk_by(|a, b| a.run == b.run) {
        page.heading(&format!("Members bored for {}", run[0].run));
        let mut table = Table::new([
            (Side::Right, "no."),
            (Side::Left, "member"),
            (Side::Right, "hole"),
            (Side::Left, "centre"),
            (Side::Right, "wood left"),
            (Side::Right, "drop"),
            (Side::Left, "drill"),
            (Side::Left, "verdict"),
            (Side::Left, "plate, strap"),
        ]);
        for hole in run {
            table.row([
                hole.number.to_string().into(),
                hole.label.as_str().into(),
                page.length(hole.hole.to_inches()).into(),
                Cell::from(place(page.say(), hole)),
                left(page.say(), hole).into(),
                Cell::from(hole.drop.as_ref().map_or_else(String::new, |d| page.length(d.down.to_inches()))),
                step(hole).into(),
                Cell::from(hole.verdict().to_string()),
                Cell::from(provided(hole)),
            ]);
        }
        page.table_folded(&table);
        for hole in run.iter().filter(|h| !h.told.is_empty()) {
            let words: Vec<String> = hole.told.iter().map(|(v, rule)| format!("{v} {rule}")).collect();
            page.named(
                2,
                &format!("{} {}: ", hole.number, hole.label),
                tone(hole.told[0].0),
                &words.join(", "),
            );
        }
        for hole in run.iter().filter(|h| h.bit != Bit::Customary) {
            let how = match hole.bit {
                Bit::Stated => "as stated in the job",
                Bit::Stocked => "the smallest stocked bit that passes it",
                Bit::Bare | Bit::Customary => "no bit is known for it: the bare outside of the part",
            };
            page.line(2, Tone::Faint, &format!("{} {}: for {}, {how}", hole.number, hole.label, hole.passes));
        }
    }
    if !holes.is_empty() {
        let words = "centre: off the rough floor, or along the wall or member from its first end; wood left: a stud's or plate's back, a \
                     joist's bottom first; drop: below the highest hole of that length, each rounded by itself; drill: the two ends first, \
                     a string through them, then what lies between; by figures: up a riser each where it is figured, all \
                     sighted through before any is bored; verdict: the gravest that the rules tell of that hole, named below the table";
        page.line(2, Tone::Faint, words);
    }
}

/// Where the centre is, along its member.
pub(crate) fn place(say: Say, hole: &MemberHole) -> String {
    let at = say.length(hole.at.to_inches());
    match &hole.datum {
        Datum::Floor(floor) => format!("{at} off {floor} rough"),
        Datum::Wall(_) => format!("{at} along wall"),
        Datum::End => format!("{at} from end"),
    }
}

/// The wood that stays.
pub(crate) fn left(say: Say, hole: &MemberHole) -> String {
    match hole.shape {
        Shape::Severed => "none".to_owned(),
        Shape::Notch { depth, .. } => format!("notch {} deep", say.length(depth.to_inches())),
        Shape::Hole => hole.left.map(|l| say.length(l.to_inches())).join(" + "),
    }
}

/// When it is drilled.
pub(crate) fn step(hole: &MemberHole) -> &'static str {
    match (hole.step, &hole.drop) {
        (Step::Alone, _) => "alone",
        (Step::End, _) => "end",
        (Step::Middle, _) => "by the string",
        (Step::Riser, _) => "by figures",
    }
}

/// Plates and straps, and whether the job has them.
pub(crate) fn provided(hole: &MemberHole) -> String {
    let word = |provided: bool| if provided { "provided" } else { "NEEDED" };
    let mut words: Vec<String> = Vec::new();
    match hole.plates.as_slice() {
        [] => {}
        [a, b] if a.provided == b.provided => words.push(format!("plate both sides {}", word(a.provided))),
        sides => words.extend(sides.iter().map(|p| format!("plate {} {}", p.side, word(p.provided)))),
    }
    words.extend(hole.strap.map(|provided| format!("strap {}", word(provided))));
    words.join(", ")
}

/// What differs in the placement that is not drilled to, a line a hole; empty where nothing does to the mark.
pub(crate) fn differs(say: Say, schedule: &HoleSchedule) -> Vec<String> {
    let none = |by: Length| Length::inches(by.to_inches().abs()).to_trade(say.fineness) == "0\"";
    let mut lines = Vec::new();
    for hole in &schedule.floors {
        match hole.other {
            Some((x, y)) if none(x) && none(y) => {}
            Some((x, y)) => lines.push(format!("F{}: {x} to +x, {y} to +y", hole.number)),
            None => lines.push(format!("F{}: not there", hole.number)),
        }
    }
    for hole in &schedule.members {
        match hole.other {
            Some(by) if none(by.at) && none(by.across) => {}
            Some(by) => {
                lines.push(format!("{} {}: {} on, {} across", hole.number, hole.label, by.at, by.across));
            }
            None => lines.push(format!("{} {}: not there", hole.number, hole.label)),
        }
    }
    lines
}

/// The placement that is not drilled to.
pub(crate) fn other(schedule: &HoleSchedule) -> Placement {
    match schedule.drill_to {
        Placement::Drawn => Placement::Found,
        Placement::Found => Placement::Drawn,
    }
}

fn elsewhere(page: &mut Page, schedule: &HoleSchedule) {
    let lines = differs(page.say(), schedule);
    page.heading(&format!("As {}", other(schedule)));
    if lines.is_empty() {
        page.line(2, Tone::Plain, "every hole is where it is drilled, to 1/16");
        return;
    }
    for line in &lines {
        page.line(2, Tone::Plain, line);
    }
    let words = "on: farther from what its centre is counted from; across: farther from its back or bottom; minus is nearer";
    page.line(2, Tone::Faint, words);
}

fn pencil(page: &mut Page, holes: &[MemberHole]) {
    if holes.is_empty() {
        return;
    }
    page.heading("Write this on the wood");
    let mut sorted: Vec<&MemberHole> = holes.iter().collect();
    sorted.sort_by_key(|h| (h.member, h.number));
    for hole in sorted {
        page.named(2, &format!("{}: ", hole.label), Tone::Plain, &hole.write);
    }
}

/// What to mind before drilling.
pub(crate) const CAUTIONS: &[&str] = &[
    "look for wires and pipes in the bay, and shut off what feeds them",
    "do not cut a beam, truss, I-joist or post on the word of this sheet: ask its maker or an engineer",
    "check one hole of each size on a scrap with the pipe you have; the local code and the inspector go before this sheet",
];

fn cautions(page: &mut Page) {
    page.heading("Before you drill");
    for line in CAUTIONS {
        page.named(2, "- ", Tone::Plain, line);
    }
}
