//! Pieces, holes and material as rows, for the pages and as comma-separated values (RFC 4180). Lengths are unrounded inches.

use crate::drawing::Subject;
use std::collections::BTreeMap;
use truefall_model::framing::member::MemberKind;
use truefall_model::place::PartKind;

/// A piece of pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct CutRow {
    /// Its number in the order of assembly, from 1.
    pub number: usize,
    /// Its stack or branch.
    pub run: String,
    /// Its name.
    pub piece: String,
    /// Nominal size.
    pub size: String,
    /// What it is made of.
    pub material: String,
    /// End to end.
    pub cut: f64,
}

/// A hole or notch.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleRow {
    /// The member.
    pub member: String,
    /// Diameter.
    pub hole: f64,
    /// What goes through.
    pub parts: String,
    /// Height of its centre off the rough surface of `floor`; of holes that go up and down, none.
    pub off_floor: Option<f64>,
    /// The floor its height is told from.
    pub floor: String,
    /// Along the member from its low end.
    pub along: f64,
    /// Which end that is.
    pub from: &'static str,
    /// Wood left towards the low face.
    pub low_edge: f64,
    /// Wood left towards the high face.
    pub high_edge: f64,
    /// It is open to a face.
    pub notch: bool,
    /// Nothing is left.
    pub severed: bool,
}

/// One thing to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialRow {
    /// What it is.
    pub what: String,
    /// Of what.
    pub material: String,
    /// How many; none for pipe.
    pub count: Option<usize>,
    /// Length of pipe.
    pub inches: f64,
}

/// Pieces in the order of assembly.
pub fn cut_rows(subject: &Subject<'_>) -> Vec<CutRow> {
    let rough_in = subject.rough_in();
    let pieces = rough_in.parts.iter().filter_map(|part| Some((part, part.cut()?)));
    pieces
        .enumerate()
        .map(|(i, (part, cut))| CutRow {
            number: i + 1,
            run: rough_in.run(part.run).label.to_string(),
            piece: part.label.to_string(),
            size: part.size().to_string(),
            material: part.material.to_string(),
            cut: cut.to_inches(),
        })
        .collect()
}

/// Holes as found, by member.
pub fn hole_rows(subject: &Subject<'_>) -> Vec<HoleRow> {
    let rough_in = subject.rough_in();
    subject
        .bores()
        .filter_map(|bore| {
            let member = rough_in.framed.member_of(bore.member)?;
            let row = crate::report::bore::row(rough_in, bore)?;
            let floor = member.floor.and_then(|f| rough_in.framed.floor_of(f));
            let up = !member.kind.is_flat();
            Some(HoleRow {
                member: row.member,
                hole: row.hole,
                parts: row.parts.join(", "),
                off_floor: floor.filter(|_| up).map(|f| bore.centre.z - f.rough_z),
                floor: floor.map_or_else(String::new, |f| f.label.to_string()),
                along: row.along,
                from: match member.kind {
                    MemberKind::Stud
                    | MemberKind::King
                    | MemberKind::Jack
                    | MemberKind::Cripple
                    | MemberKind::Post => "its foot",
                    _ => "its first end",
                },
                low_edge: row.edges[0],
                high_edge: row.edges[1],
                notch: row.notch.is_some(),
                severed: row.severed,
            })
        })
        .collect()
}

/// Fittings counted, pipe summed.
pub fn material_rows(subject: &Subject<'_>) -> Vec<MaterialRow> {
    let mut fittings: BTreeMap<(String, String), usize> = BTreeMap::new();
    let mut pipe: BTreeMap<(String, String), f64> = BTreeMap::new();
    for part in &subject.rough_in().parts {
        let material = part.material.to_string();
        match &part.kind {
            PartKind::Fitting { pattern, .. } => {
                *fittings.entry((pattern.name.to_string(), material)).or_default() += 1
            }
            PartKind::Piece { size, cut, .. } => {
                *pipe.entry((format!("{size} in pipe"), material)).or_default() += cut.to_inches();
            }
            PartKind::Existing { .. } => {}
        }
    }
    let fitting = |((what, material), count)| MaterialRow { what, material, count: Some(count), inches: 0.0 };
    let length = |((what, material), inches)| MaterialRow { what, material, count: None, inches };
    fittings.into_iter().map(fitting).chain(pipe.into_iter().map(length)).collect()
}

/// `cuts.csv`.
pub fn cuts(subject: &Subject<'_>) -> String {
    let rows = cut_rows(subject)
        .into_iter()
        .map(|c| vec![c.number.to_string(), c.run, c.piece, c.size, c.material, c.cut.to_string()]);
    lines(&["number", "run", "piece", "size", "material", "cut_in"], rows)
}

/// `holes.csv`.
pub fn holes(subject: &Subject<'_>) -> String {
    let rows = hole_rows(subject).into_iter().map(|h| {
        let made = if h.severed {
            "severed"
        } else if h.notch {
            "notch"
        } else {
            "hole"
        };
        vec![
            h.member,
            h.hole.to_string(),
            h.parts,
            h.off_floor.map_or_else(String::new, |z| z.to_string()),
            h.floor,
            h.along.to_string(),
            h.low_edge.to_string(),
            h.high_edge.to_string(),
            made.to_owned(),
        ]
    });
    let heads = [
        "member",
        "hole_in",
        "through",
        "centre_off_rough_in",
        "floor",
        "along_in",
        "low_edge_in",
        "high_edge_in",
        "made_as",
    ];
    lines(&heads, rows)
}

/// `materials.csv`.
pub fn materials(subject: &Subject<'_>) -> String {
    let rows = material_rows(subject).into_iter().map(|r| {
        let pipe = if r.count.is_none() { r.inches.to_string() } else { String::new() };
        vec![r.what, r.material, r.count.map_or_else(String::new, |n| n.to_string()), pipe]
    });
    lines(&["what", "material", "count", "pipe_in"], rows)
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

/// A cell. A name that a spreadsheet would take for a sum gets a mark before it; a number is left alone.
fn cell(text: &str) -> String {
    let sum = text.starts_with(['=', '+', '-', '@', '\t', '\r']) && text.parse::<f64>().is_err();
    let text = if sum { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4180, 2.6 and 2.7: commas and quotes stand in quotes, a quote is doubled.
    #[test]
    fn cells_are_quoted_and_none_is_a_sum() {
        assert_eq!(cell("a, \"b\""), "\"a, \"\"b\"\"\"");
        assert_eq!(cell("=HYPERLINK(1)"), "'=HYPERLINK(1)");
        assert_eq!(cell("-0.25"), "-0.25");
    }
}
