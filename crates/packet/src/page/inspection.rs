//! The self-check before an inspection.

use super::frame::table;
use crate::drawing::Subject;
use crate::markup::Markup;
use truefall_check::{Verdict, rules};

/// Pass, fail, by eye.
pub fn self_check(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let mut rows: Vec<(u8, Vec<String>)> = rules::ALL
        .iter()
        .map(|rule| {
            let found = subject.examined.findings.iter().filter(|f| f.rule == rule.id);
            let worst = found.clone().map(|f| f.verdict).min();
            let passes = subject.examined.passes.iter().filter(|f| f.rule == rule.id).count();
            let (order, result) = match worst {
                Some(Verdict::RedTag) => {
                    (0, format!("FAIL ({})", found.filter(|f| f.verdict == Verdict::RedTag).count()))
                }
                Some(Verdict::Ask) => (1, "ask the official".to_owned()),
                Some(Verdict::NotChecked) => (2, "by eye: could not be checked".to_owned()),
                Some(Verdict::Watch) => (3, "pass, see the findings".to_owned()),
                _ if passes > 0 => (4, format!("pass ({passes} looked at)")),
                _ => (5, "pass, or nothing of the kind here".to_owned()),
            };
            (order, vec![result, rule.summary.to_string(), rule.id.to_owned()])
        })
        .collect();
    // What fails is read first; within a result the order is that of the rules.
    rows.sort_by_key(|(order, _)| *order);
    let rows: Vec<Vec<String>> = rows.into_iter().map(|(_, row)| row).collect();
    table(
        &mut m,
        "Held to the figures of the code and of practice",
        &["result", "looked for", "rule"],
        &rows,
    );
    m.line("h3", &[], "By eye, on the day (common practice)");
    for look in [
        "primer seen at every joint that asks for it, cement of the right kind, no joint moved after it was set",
        "pipe ends cut square, deburred, home in their hubs",
        "plates nailed over every bore near an edge, straps where a plate is cut",
        "hangers tight, no pipe resting on a nail or a sharp edge",
        "cleanouts reachable with room to work",
        "every opening of old and new pipe plugged against sewer gas",
        "holes in fire-stopped plates sealed as the local code asks",
        "markings of the pipe turned where they can be read",
    ] {
        m.tag("p", &[], |m| {
            m.raw("<span class=\"box\"></span> ").text(look);
        });
    }
    m
}
