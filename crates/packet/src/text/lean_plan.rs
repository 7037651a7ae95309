//! The plan of leaning stacks as text.

use super::cautions::cautions;
use super::page::{Look, Page};
use super::style::Tone;
use super::table::{Cell, Side, Table};
use crate::lean_plan::{EffectRow, LeanPlan, RemedyRow, StackRow};

const EFFECTS: [(Side, &str); 7] = [
    (Side::Left, "run"),
    (Side::Right, "off the lean"),
    (Side::Right, "drawn"),
    (Side::Left, "found"),
    (Side::Right, "to spare"),
    (Side::Left, "arm, of"),
    (Side::Left, "arm falls, of"),
];

const LANDINGS: [(Side, &str); 6] = [
    (Side::Left, "run"),
    (Side::Left, "fixture"),
    (Side::Left, "lands off, of"),
    (Side::Left, "to +x"),
    (Side::Left, "to +y"),
    (Side::Left, "up"),
];

const REMEDIES: [(Side, &str); 7] = [
    (Side::Right, "no"),
    (Side::Left, "remedy"),
    (Side::Right, "joint asks, of"),
    (Side::Right, "red tags"),
    (Side::Right, "joints"),
    (Side::Right, "pieces"),
    (Side::Left, "tightest grade"),
];

/// The plan as text, with a line feed at its end.
pub fn lean_plan(plan: &LeanPlan, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(0, Tone::Heading, &plan.job);
    page.line(0, Tone::Plain, "what the lean does, and what can be done about it");
    for row in &plan.stacks {
        stack(&mut page, row);
    }
    page.heading("What is not known");
    for line in plan.not_known {
        page.named(2, "- ", Tone::Plain, line);
    }
    cautions(&mut page);
    page.into_text()
}

fn stack(page: &mut Page, row: &StackRow) {
    page.heading(&format!("Stack {}", row.stack));
    let (Some(lean), Some(error), Some(degrees), Some(clock)) =
        (row.in_per_ft, row.error, row.lean_deg, &row.clock)
    else {
        let why = match row.surveyed {
            true => "reads plumb: nothing to take out",
            false => "its lean was not read: hang a plumb string on two sides and read three heights",
        };
        return page.line(2, Tone::Plain, why);
    };
    let wall = row.wall.as_ref().map_or_else(String::new, |wall| format!(", toward {wall}"));
    page.line(
        2,
        Tone::Plain,
        &format!("leans {lean:.3} ± {error:.3} in per ft ({degrees:.2}°), to {clock} on the plan{wall}"),
    );
    if row.told == Some(false) {
        page.line(
            2,
            Tone::Ask,
            "less than twice its error: read it again at more heights before you mend it",
        );
    }
    effects(page, &row.effects);
    remedies(page, &row.remedies);
    if !row.refused.is_empty() {
        page.heading(&format!("Refused for {}", row.stack));
        for refused in &row.refused {
            page.named(2, "- ", Tone::Plain, &refused.what);
            page.named(4, "why  ", Tone::RedTag, &refused.why);
        }
    }
}

fn effects(page: &mut Page, rows: &[EffectRow]) {
    if rows.is_empty() {
        return page.line(2, Tone::Plain, "nothing with a grade hangs on it");
    }
    let of = |page: &Page, m: &Option<crate::lean_plan::MeasuredRow>| {
        let Some(m) = m else { return Cell::from("") };
        let tone = if m.margin.is_some_and(|margin| margin < 0.0) { Tone::RedTag } else { Tone::Plain };
        let most = m.most.map_or_else(String::new, |most| format!(", {}", page.length(most)));
        let error = m.error.filter(|e| *e > 0.0).map_or_else(String::new, |e| format!(" ± {e:.2}"));
        Cell::toned(tone, format!("{}{error}{most}", page.length(m.value)))
    };
    let mut table = Table::new(EFFECTS);
    for row in rows {
        let margin = row.grade.as_ref().and_then(|g| g.margin);
        let short = margin.is_some_and(|margin| margin < -truefall_model::tolerance::SLACK);
        let left = margin.map_or_else(String::new, |margin| {
            if short { format!("-{:.3}", -margin) } else { format!("{:.3}", margin.abs()) }
        });
        let tone = if short { Tone::RedTag } else { Tone::Plain };
        table.row([
            row.run.as_str().into(),
            row.off_lean_deg.map_or_else(String::new, |deg| format!("{deg:.0}°")).into(),
            format!("{:.3}", row.drawn).into(),
            format!("{:.3} ± {:.3}", row.found, row.error).into(),
            Cell::toned(tone, left),
            of(page, &row.arm),
            of(page, &row.arm_falls),
        ]);
    }
    page.blank();
    page.table(&table);
    page.line(
        2,
        Tone::Faint,
        "grades in per ft; found: drawn less the lean x cos(off the lean), turned exactly; ±: a standard error, from the readings; \
         to spare: over the least the code asks, at the run's leg nearest to it; below zero it is short",
    );
    let mut table = Table::new(LANDINGS);
    for row in rows.iter().filter(|row| row.lands.is_some()) {
        let [x, y, up] = [0, 1, 2].map(|axis| {
            let by = row.off.map_or_else(String::new, |off| page.length(off[axis]));
            let error = row.off_error.filter(|e| e[axis] >= 0.005);
            error.map_or_else(|| by.clone(), |e| format!("{by} ± {:.2}", e[axis]))
        });
        let fixture = row.fixture.clone().unwrap_or_default();
        table.row([
            row.run.as_str().into(),
            fixture.into(),
            of(page, &row.lands),
            x.into(),
            y.into(),
            up.into(),
        ]);
    }
    page.blank();
    page.table(&table);
}

fn remedies(page: &mut Page, rows: &[RemedyRow]) {
    page.heading("What helps, best first; each was tried on a copy of the job");
    if rows.is_empty() {
        return page.line(2, Tone::RedTag, "nothing that was tried helps without breaking something else");
    }
    let mut table = Table::new(REMEDIES);
    for row in rows {
        let joint = row.joint.as_ref().map_or_else(
            || "none".to_owned(),
            |joint| format!("{:.2}°, {:.2}°", joint.asks_deg, joint.limit_deg),
        );
        let grade = row.least_grade.as_ref().map_or_else(String::new, |(run, margin)| {
            let side = if *margin < -truefall_model::tolerance::SLACK { "short by" } else { "inside by" };
            format!("{run} {side} {:.3}", margin.abs())
        });
        table.row([
            row.number.to_string().into(),
            row.kind.into(),
            joint.into(),
            format!("{} -> {}", row.red_before, row.red_after).into(),
            format!("{:+}", row.joints).into(),
            format!("{:+}", row.pieces).into(),
            grade.into(),
        ]);
    }
    page.table(&table);
    for row in rows {
        page.blank();
        page.named(2, &format!("{}  ", row.number), Tone::Plain, &row.what);
        if let Some(joint) = &row.joint {
            let text = format!(
                "{} between {}: stands at {:.2}°, may stand at {:.2}°",
                joint.kind, joint.between, joint.asks_deg, joint.limit_deg
            );
            page.named(5, "joint  ", Tone::Plain, &text);
        }
        for line in &row.lines {
            page.named(5, "sum    ", Tone::Plain, line);
        }
        if let Some((run, margin)) = &row.least_landing {
            let left = match *margin {
                over if over < 0.0 => format!("over its tolerance by {:.3} in", -over),
                left => format!("{left:.3} in of its tolerance left"),
            };
            page.named(5, "lands  ", Tone::Plain, &format!("{run} is the tightest: {left}"));
        }
        for line in &row.brings {
            page.named(5, "brings ", Tone::Watch, line);
        }
    }
}
