//! What passes and how far it is from failing, nearest first.

use super::page::Page;
use super::style::Tone;
use super::table::{Side, Table};
use crate::report::finding::FindingRow;

const HEAD: [(Side, &str); 7] = [
    (Side::Right, "to spare"),
    (Side::Left, "rule"),
    (Side::Left, "about"),
    (Side::Left, "as"),
    (Side::Left, "measured"),
    (Side::Left, "limit"),
    (Side::Left, "margin"),
];

/// All passes that have a margin, by its share of the limit.
pub fn passes(page: &mut Page, passes: &[FindingRow]) {
    let mut rows: Vec<&FindingRow> = passes.iter().collect();
    // Where the limit is nothing there is no share; those come last, the narrowest margin first.
    let key = |f: &FindingRow| (share(f).unwrap_or(f64::INFINITY), f.margin.unwrap_or(f64::INFINITY));
    rows.sort_by(|a, b| {
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let mut table = Table::new(HEAD);
    for f in rows {
        let (Some(measured), Some(limit)) = (f.measured, f.kind.1) else { continue };
        table.row([
            share(f).map_or_else(String::new, |share| format!("{:.0}%", share * 100.0)).into(),
            f.rule.into(),
            f.labels.join(", ").into(),
            if f.in_both { "drawn, found" } else { f.placement }.into(),
            page.measure(measured, f.unit).into(),
            page.limit(limit, f.unit).into(),
            f.margin.map_or_else(String::new, |margin| page.margin(margin, limit, f.unit)).into(),
        ]);
    }
    page.heading(&format!("Passes ({})", passes.len()));
    if table.is_empty() {
        page.line(2, Tone::Plain, "nothing that was looked at has a margin");
        return;
    }
    page.line(2, Tone::Faint, "what is left as a share of the limit; the nearest to failing first");
    page.table(&table);
}

fn share(f: &FindingRow) -> Option<f64> {
    f.kind.1?.share(f.margin?)
}
