//! Findings by verdict, gravest first, each with its sum and its source, and how many there are.

use super::bores::tone;
use super::page::Page;
use super::style::Tone;
use crate::report::Report;
use crate::report::finding::FindingRow;
use crate::report::fix::FixRow;
use truefall_check::Verdict;

/// All findings and their counts.
pub fn findings(page: &mut Page, report: &Report) {
    let counts = report.counts;
    let groups = [
        (Verdict::RedTag, "Red tags", counts.red_tag),
        (Verdict::Ask, "To ask the local official", counts.ask),
        (Verdict::Watch, "To watch", counts.watch),
        (Verdict::NotChecked, "Not checked", counts.not_checked),
    ];
    for (verdict, heading, count) in groups.iter().filter(|g| g.2 > 0) {
        page.heading(&format!("{heading} ({count})"));
        for finding in report.findings.iter().filter(|f| f.kind.0 == *verdict) {
            one(page, finding);
        }
    }
    page.heading("In all");
    let words: Vec<String> =
        groups.iter().map(|(verdict, _, count)| format!("{count} {}", plural(*verdict, *count))).collect();
    page.line(2, Tone::Plain, &words.join(", "));
    if counts.total() == 0 {
        page.line(2, Tone::Plain, "everything the rules look at was looked at and is fine");
    }
}

fn plural(verdict: Verdict, count: usize) -> String {
    match (verdict, count) {
        (Verdict::RedTag, 1) => "red tag".to_owned(),
        (Verdict::RedTag, _) => "red tags".to_owned(),
        (Verdict::Ask, _) => "to ask".to_owned(),
        (Verdict::Watch, _) => "to watch".to_owned(),
        (Verdict::NotChecked, _) => "not checked".to_owned(),
        (Verdict::Pass, _) => "pass".to_owned(),
    }
}

fn one(page: &mut Page, f: &FindingRow) {
    let head = format!("{}[{}]: {}", f.verdict, f.rule, f.what);
    page.line(2, tone(f.kind.0), &head);
    let place = place(page, f);
    page.named(4, "where     ", Tone::Plain, &place);
    if let Some(measured) = measured(page, f) {
        page.named(4, "measured  ", Tone::Plain, &measured);
    }
    for (i, line) in f.sum.iter().enumerate() {
        page.named(4, if i == 0 { "sum       " } else { "          " }, Tone::Plain, line);
    }
    page.named(4, "source    ", Tone::Plain, &f.source.line);
    if let Some(note) = f.source.code.as_ref().and(f.source.note.as_ref()) {
        page.named(4, "          ", Tone::Faint, note);
    }
    if let Some(accepted) = &f.accepted {
        page.named(4, "accepted  ", Tone::Plain, accepted);
    }
    if let Some(help) = &f.help {
        page.named(4, "help      ", Tone::Plain, help);
    }
    if let Some(fix) = &f.fix {
        mends(page, fix);
    }
    page.blank();
}

/// What was tried and mends it, how to write it into the job, and what it would break.
fn mends(page: &mut Page, fix: &FixRow) {
    let clean = if fix.breaks.is_empty() {
        "; tried: it mends this and breaks nothing"
    } else {
        "; tried: it mends this"
    };
    page.named(4, "fix       ", Tone::Plain, &format!("{}{clean}", fix.words));
    for edit in &fix.edits {
        let run = edit.run.as_ref().map_or_else(String::new, |run| format!(" of {run}"));
        let item = edit.item.as_ref().map_or_else(String::new, |item| format!(": {item}"));
        page.named(4, "          ", Tone::Faint, &format!("{} {}{run}{item}", edit.change, edit.what));
    }
    for broken in &fix.breaks {
        page.named(4, "breaks    ", Tone::RedTag, broken);
    }
}

fn place(page: &Page, f: &FindingRow) -> String {
    let mut parts: Vec<String> = Vec::new();
    parts.extend((!f.labels.is_empty()).then(|| f.labels.join(", ")));
    let both = "as drawn and as found".to_owned();
    parts.push(if f.in_both { both } else { format!("as {}", f.placement) });
    if let Some([x, y, z]) = f.at {
        parts.push(format!("at x {}, y {}, z {}", page.length(x), page.length(y), page.length(z)));
    }
    parts.join("; ")
}

fn measured(page: &Page, f: &FindingRow) -> Option<String> {
    let measured = f.measured?;
    let mut text = match f.error {
        Some(error) => page.with_error(measured, error, f.unit),
        None => page.measure(measured, f.unit),
    };
    if let Some(limit) = f.kind.1 {
        text.push_str(&format!(", {}", page.limit(limit, f.unit)));
        if let Some(margin) = f.margin {
            text.push_str(&format!(", {}", page.margin(margin, limit, f.unit)));
        }
    }
    Some(text)
}
