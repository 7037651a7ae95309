//! Sheets of rows: pieces, holes, material, lean.

use super::frame::table;
use crate::csv::{cut_rows, hole_rows, material_rows};
use crate::drawing::Subject;
use crate::markup::Markup;

/// Every piece in the order of assembly.
pub fn cuts(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let rows: Vec<Vec<String>> = cut_rows(subject)
        .iter()
        .map(|c| {
            vec![
                c.number.to_string(),
                c.run.clone(),
                c.piece.clone(),
                format!("{} in {}", c.size, c.material),
                subject.say.length(c.cut),
            ]
        })
        .collect();
    table(
        &mut m,
        "Pieces in the order of assembly, end to end",
        &["no.", "stack or branch", "piece", "pipe", "cut"],
        &rows,
    );
    m.line(
        "p",
        &[("class", "small")],
        "Worked out from catalog fittings: measure the fittings in your hand before the last cut.",
    );
    m
}

/// Every hole and notch, by member.
pub fn holes(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let say = subject.say;
    let rows: Vec<Vec<String>> = hole_rows(subject)
        .iter()
        .map(|h| {
            vec![
                h.member.clone(),
                say.length(h.hole),
                h.parts.clone(),
                h.off_floor.map_or_else(String::new, |z| format!("{} off {} rough", say.length(z), h.floor)),
                format!("{} from {}", say.length(h.along), h.from),
                format!("{} and {}", say.length(h.low_edge), say.length(h.high_edge)),
                if h.severed {
                    "cut through"
                } else if h.notch {
                    "notch"
                } else {
                    "hole"
                }
                .to_owned(),
            ]
        })
        .collect();
    table(
        &mut m,
        "Holes as found",
        &["member", "hole", "for", "centre up", "centre along the member", "wood left", "made as"],
        &rows,
    );
    m.tag("p", &[("class", "caution")], |m| {
        m.text("Drill nothing that a red tag names. Beams, trusses, I-joists and wood already cut are for an engineer or the maker. Look for wires and pipe in the wall first.");
    });
    m
}

/// What to buy.
pub fn materials(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let rows: Vec<Vec<String>> = material_rows(subject)
        .iter()
        .map(|r| {
            vec![
                r.what.clone(),
                r.material.clone(),
                r.count.map_or_else(|| subject.say.length(r.inches), |n| n.to_string()),
            ]
        })
        .collect();
    table(
        &mut m,
        "Fittings by piece, pipe by length cut (kerf and waste not counted)",
        &["what", "material", "how many"],
        &rows,
    );
    m
}

/// The survey of each stack.
pub fn lean(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    for lean in &subject.examined.report.lean {
        m.line("h3", &[], &lean.stack);
        match (lean.in_per_ft, lean.error) {
            (Some(lean_in), error) => {
                let error = error.map_or_else(String::new, |e| format!(" ± {e:.3}"));
                let way = lean.wall.as_ref().map_or_else(String::new, |w| format!(", towards {w}"));
                m.line(
                    "p",
                    &[],
                    &format!(
                        "leans {lean_in:.3}{error} in per ft{way}; its top stands {} off over {}",
                        subject.say.length(lean.offset),
                        subject.say.length(lean.height)
                    ),
                );
            }
            (None, _) => {
                m.line("p", &[], "not surveyed: hang a plumb string beside the barrel and read the gap at three heights, then again square to it");
            }
        }
        let rows: Vec<Vec<String>> = lean
            .strings
            .iter()
            .map(|s| {
                vec![
                    s.wall.clone(),
                    format!("{:.3}", s.in_per_ft),
                    format!("{:.3}", s.error),
                    s.readings.to_string(),
                ]
            })
            .collect();
        table(&mut m, "Strings", &["towards", "in per ft", "standard error", "readings"], &rows);
        if lean.doubtful {
            m.line(
                "p",
                &[],
                "The readings don't lie on a line: one is off, or the pipe is bent. Read again.",
            );
        }
        if !lean.corrected.is_empty() {
            m.line("p", &[], &format!("corrected at the joint below {}", lean.corrected.join(", ")));
        }
    }
    m
}
