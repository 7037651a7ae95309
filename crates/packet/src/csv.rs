//! Pieces, holes and material as rows, for the pages and as comma-separated values (RFC 4180). Lengths are unrounded inches.

use crate::plans::Plans;
use crate::text::cuts::note;
use crate::text::holes::{provided, step};
use truefall_check::bore::Shape;
use truefall_model::label::Label;
use truefall_model::units::Length;
use truefall_plan::cuts::CutEnd;
use truefall_plan::holes::{Datum, Face, MemberHole, Neighbour, OffWall};

/// `cuts.csv`.
pub fn cuts(plans: &Plans) -> String {
    let clock = |end: &CutEnd| end.clock.map_or_else(String::new, |c| c.to_string());
    let rows = plans.cuts.cuts.iter().map(|c| {
        let high = |of: &dyn Fn(&CutEnd) -> String| c.high.as_ref().map_or_else(String::new, of);
        vec![
            c.number.to_string(),
            c.run.to_string(),
            c.size.to_string(),
            c.material.to_string(),
            inches(c.cut),
            inches(c.on_tape()),
            inches(c.centre),
            c.low.label.to_string(),
            clock(&c.low),
            c.low.mark.clone(),
            high(&|end| end.label.to_string()),
            high(&clock),
            high(&|end| end.mark.clone()),
            note(c),
            all(&c.through),
        ]
    });
    let heads = [
        "number",
        "run",
        "size",
        "material",
        "cut_in",
        "cut_on_tape_in",
        "centre_in",
        "from",
        "from_clock",
        "from_mark",
        "to",
        "to_clock",
        "to_mark",
        "note",
        "through",
    ];
    lines(&heads, rows)
}

/// `holes.csv`: holes and notches in members, in the order to drill.
pub fn holes(plans: &Plans) -> String {
    let rows = plans.holes.members.iter().map(|h| {
        let (from, of) = match &h.datum {
            Datum::Floor(floor) => ("floor", floor.to_string()),
            Datum::Wall(wall) => ("wall", wall.to_string()),
            Datum::End => ("first end", String::new()),
        };
        let made = match h.shape {
            Shape::Hole => "hole",
            Shape::Notch { .. } => "notch",
            Shape::Severed => "severed",
        };
        vec![
            h.number.to_string(),
            h.label.to_string(),
            inches(h.hole),
            h.run.to_string(),
            h.passes.clone(),
            from.to_owned(),
            of,
            inches(h.at),
            inches(h.across),
            inches(h.left[0]),
            inches(h.left[1]),
            made.to_owned(),
            h.drop.as_ref().map_or_else(String::new, |d| inches(d.down)),
            step(h).to_owned(),
            h.verdict().to_string(),
            told(h),
            provided(h),
            h.write.clone(),
        ]
    });
    let heads = [
        "number",
        "member",
        "hole_in",
        "run",
        "through",
        "counted_from",
        "of",
        "centre_in",
        "across_in",
        "low_edge_in",
        "high_edge_in",
        "made_as",
        "drop_in",
        "drill",
        "verdict",
        "rules",
        "plate_strap",
        "pencil_line",
    ];
    lines(&heads, rows)
}

/// The rules that tell of a hole, with their verdicts.
fn told(hole: &MemberHole) -> String {
    hole.told.iter().map(|(verdict, rule)| format!("{verdict} {rule}")).collect::<Vec<_>>().join("; ")
}

/// `floor-holes.csv`: holes through floors, where they are by job axes and off two walls, between which joists, and the same point
/// off two walls of the floor below.
pub fn floor_holes(plans: &Plans) -> String {
    let rows = plans.holes.floors.iter().map(|h| {
        let mut row = vec![
            format!("F{}", h.number),
            h.floor.to_string(),
            inches(h.hole),
            h.run.to_string(),
            h.passes.clone(),
            h.at.x.to_string(),
            h.at.y.to_string(),
        ];
        row.extend(off_walls(&h.off));
        for beside in [&h.bay.before, &h.bay.after] {
            let told = |of: &dyn Fn(&Neighbour) -> String| beside.as_ref().map_or_else(String::new, of);
            row.extend([
                told(&|n| n.joist.to_string()),
                told(&|n| inches(n.to_face)),
                told(&|n| inches(n.clear)),
            ]);
        }
        row.push(h.bay.over.as_ref().map_or_else(String::new, ToString::to_string));
        let (floor, off) = h.below.as_ref().map_or((String::new(), &[][..]), |(f, off)| (f.to_string(), off));
        row.push(floor);
        row.extend(off_walls(off));
        row
    });
    let walls = |under: &str| -> Vec<String> {
        let heads = ["wall", "face", "off_studs_in", "off_finish_in", "carried_on"];
        let named = |n: &str, head: &str| match head.strip_suffix("_in") {
            Some(head) => format!("{under}{head}{n}_in"),
            None => format!("{under}{head}{n}"),
        };
        ["", "_2"].iter().flat_map(|n| heads.map(|head| named(n, head))).collect()
    };
    let mut heads: Vec<String> =
        ["number", "floor", "hole_in", "run", "through", "x_in", "y_in"].map(str::to_owned).to_vec();
    heads.extend(walls(""));
    for side in ["before", "after"] {
        heads.extend(["joist", "to_face", "clear"].map(|head| match head {
            "joist" => format!("joist_{side}"),
            head => format!("{head}_{side}_in"),
        }));
    }
    heads.extend(["over_joist".to_owned(), "floor_below".to_owned()]);
    heads.extend(walls("below_"));
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    lines(&heads, rows)
}

/// Two measures off walls, five cells each; empty where there are fewer.
fn off_walls(all: &[OffWall]) -> Vec<String> {
    let cells = |off: Option<&OffWall>| match off {
        Some(o) => {
            let carried = if o.carried_on { "yes" } else { "no" };
            [
                o.wall.to_string(),
                face(o.face).to_owned(),
                inches(o.rough),
                inches(o.finished),
                carried.to_owned(),
            ]
        }
        None => Default::default(),
    };
    (0..2).flat_map(|i| cells(all.get(i))).collect()
}

fn face(face: Face) -> &'static str {
    match face {
        Face::Room => "off the room side",
        Face::Back => "off the back",
        Face::Into => "into the wall",
        Face::Along => "along the wall",
        Face::Past => "past its nearer end, in its line",
    }
}

fn inches(length: Length) -> String {
    length.to_inches().to_string()
}

fn all(labels: &[Label]) -> String {
    labels.iter().map(|l| l.as_str()).collect::<Vec<_>>().join("; ")
}

/// `materials.csv`: one of pipe is a length as sold, told in its unit.
pub fn materials(plans: &Plans) -> String {
    let rows = plans.bill.lines.iter().map(|line| {
        vec![
            line.item.to_string(),
            line.item.material().map_or_else(String::new, |m| m.to_string()),
            line.count.to_string(),
            line.unit.to_string(),
            line.places.join("; "),
        ]
    });
    lines(&["what", "material", "count", "unit", "where"], rows)
}

fn lines(heads: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut out = heads.join(",") + "\r\n";
    for row in rows {
        let cells: Vec<String> = row.iter().map(|c| cell(c)).collect();
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    out
}

/// A cell. A name that a spreadsheet would run as a sum gets a mark before it, so that it is shown; a number is left alone.
fn cell(text: &str) -> String {
    let sum = text.trim_start().starts_with(RUN) || text.starts_with(['\t', '\r', '\n']);
    let number = text.parse::<f64>().is_ok_and(f64::is_finite);
    let text = if sum && !number { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// What a sum begins with in one spreadsheet or another, the wide forms of East Asian keyboards among them.
const RUN: [char; 8] = ['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4180, 2.6 and 2.7: commas and quotes stand in quotes, a quote is doubled.
    #[test]
    fn cells_are_quoted_and_none_is_a_sum() {
        assert_eq!(cell("a, \"b\""), "\"a, \"\"b\"\"\"");
        assert_eq!(cell("=HYPERLINK(1)"), "'=HYPERLINK(1)");
        assert_eq!(cell(" +1+1, x"), "\"' +1+1, x\"");
        assert_eq!(cell("-inf"), "'-inf");
        for number in ["-0.25", "+3", "-1e-7", "24.125"] {
            assert_eq!(cell(number), number);
        }
    }
}
