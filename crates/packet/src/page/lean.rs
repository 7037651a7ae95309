//! The lean sheet: what was read off each stack, what the lean does, and what helps.

use super::frame::{list, table};
use crate::drawing::Subject;
use crate::lean_plan::{EffectRow, LeanPlan, RemedyRow, StackRow};
use crate::markup::Markup;
use crate::report::lean::LeanRow;
use crate::say::Say;

/// The survey of each stack with the plan for it.
pub fn lean(subject: &Subject<'_>, plan: &LeanPlan) -> Markup {
    let mut m = Markup::new();
    for lean in &subject.examined.report.lean {
        m.line("h3", &[], &lean.stack);
        survey(&mut m, lean, subject.say);
        if let Some(row) = plan.stacks.iter().find(|row| row.stack == lean.stack) {
            stack(&mut m, row, subject.say);
        }
    }
    m.line("h3", &[], "What is not known");
    list(&mut m, &plan.not_known.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>());
    m
}

/// What the plumb strings told.
fn survey(m: &mut Markup, lean: &LeanRow, say: Say) {
    match (lean.in_per_ft, lean.error) {
        (Some(lean_in), error) => {
            let error = error.map_or_else(String::new, |e| format!(" ± {e:.3}"));
            let way = lean.wall.as_ref().map_or_else(String::new, |w| format!(", towards {w}"));
            m.line(
                "p",
                &[],
                &format!(
                    "leans {lean_in:.3}{error} in per ft{way}; its top stands {} off over {}",
                    say.length(lean.offset),
                    say.length(lean.height)
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
    table(m, "Strings", &["towards", "in per ft", "standard error", "readings"], &rows);
    if lean.doubtful {
        m.line("p", &[], "The readings don't lie on a line: one is off, or the pipe is bent. Read again.");
    }
    if !lean.corrected.is_empty() {
        m.line("p", &[], &format!("corrected at the joint below {}", lean.corrected.join(", ")));
    }
}

fn stack(m: &mut Markup, row: &StackRow, say: Say) {
    if row.told == Some(false) {
        m.line(
            "p",
            &[],
            "That is less than twice its error: read it again at more heights before you mend it.",
        );
    }
    if row.in_per_ft.is_none() {
        return;
    }
    effects(m, &row.effects, say);
    remedies(m, &row.remedies);
    if !row.refused.is_empty() {
        let refused: Vec<Vec<String>> =
            row.refused.iter().map(|r| vec![r.what.clone(), r.why.clone()]).collect();
        table(m, "Tried and refused", &["what", "why not"], &refused);
    }
}

fn effects(m: &mut Markup, effects: &[EffectRow], say: Say) {
    let rows: Vec<Vec<String>> = effects
        .iter()
        .map(|row| {
            let spare = row.grade.as_ref().and_then(|g| g.margin).map_or_else(String::new, |margin| {
                format!("{}{:.3}", if margin < 0.0 { "SHORT by " } else { "" }, margin.abs())
            });
            let lands = row.lands.as_ref().map_or_else(String::new, |m| {
                let most = m.most.map_or_else(String::new, |most| format!(", {} allowed", say.length(most)));
                format!("{}{most}", say.length(m.value))
            });
            vec![
                row.run.clone(),
                format!("{:.3}", row.drawn),
                format!("{:.3} ± {:.3}", row.found, row.error),
                spare,
                lands,
            ]
        })
        .collect();
    let heads = ["run", "grade drawn, in per ft", "grade found, in per ft", "to spare", "lands off"];
    table(m, "What the lean does", &heads, &rows);
    if !rows.is_empty() {
        m.line("p", &[("class", "small")], "±: a standard error, from the readings. To spare: over the least the code asks, in per ft, at the run's leg nearest to it, which need not be the one whose grade is told.");
    }
}

fn remedies(m: &mut Markup, remedies: &[RemedyRow]) {
    let rows: Vec<Vec<String>> = remedies
        .iter()
        .map(|row| {
            let joint = row.joint.as_ref().map_or_else(
                || "none".to_owned(),
                |j| {
                    format!(
                        "{} between {}: {:.2}° of {:.2}° it may stand at",
                        j.kind, j.between, j.asks_deg, j.limit_deg
                    )
                },
            );
            vec![
                row.number.to_string(),
                std::iter::once(&row.what).chain(&row.lines).cloned().collect::<Vec<_>>().join("; "),
                joint,
                format!("{} before, {} after", row.red_before, row.red_after),
                row.brings.join("; "),
            ]
        })
        .collect();
    let heads = ["no.", "what one does", "asks of a joint", "red tags", "brings"];
    table(m, "What helps, best first; each was tried on a copy of the job", &heads, &rows);
}
