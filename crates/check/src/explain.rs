//! The page of a rule, for `explain` and for the generated list of all rules.

use crate::code::{Figure, Profile};
use crate::rule::{Basis, Family, Rule};
use crate::rules;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The page of one rule with the figures of the profiles, side by side; none if there is no such rule.
pub fn explain(id: &str, profiles: &[Profile]) -> Option<String> {
    rules::by_id(id).map(|rule| page(rule, profiles, 1))
}

/// `docs/rules.md`: all rules, family by family, with the figures of the profiles side by side.
pub fn rules_page(profiles: &[Profile]) -> String {
    let mut out = String::from(
        "<!-- Generated from the rules themselves; mend their doc comments in crates/check/src/rules, then run \
         TRUEFALL_BLESS=1 cargo test -p truefall-check rules_page -->\n\n# Rules\n\n",
    );
    out.push_str(
        "A job is held to the one profile it names under `code`, and may amend any figure of it under `local`. The figures of \
         all profiles stand side by side; a dash means that the code has no such figure.\n\n",
    );
    for profile in profiles {
        let _ = writeln!(
            out,
            "- `{}` ({} {}): {}",
            profile.name(),
            profile.code(),
            profile.edition(),
            profile.note()
        );
    }
    out.push('\n');
    for rule in rules::ALL {
        let _ = writeln!(out, "- [{}](#{}): {}", rule.id, rule.id, rule.summary);
    }
    for family in Family::ALL {
        for rule in rules::ALL.iter().filter(|r| r.family == family) {
            out.push('\n');
            out.push_str(&page(rule, profiles, 2));
        }
    }
    out
}

fn page(rule: &Rule, profiles: &[Profile], level: usize) -> String {
    let mut out = format!("{} {}\n\n{}\n\n", "#".repeat(level), rule.id, rule.summary);
    for line in rule.doc.lines() {
        let line = line.strip_prefix(' ').unwrap_or(line);
        let deeper = if line.starts_with("# ") { "#".repeat(level) } else { String::new() };
        let _ = writeln!(out, "{deeper}{line}");
    }
    if let Basis::House(reason) = rule.basis {
        let _ = writeln!(out, "\nOur own rule: {reason}.");
    }
    out.push_str(&figures(rule, profiles));
    out
}

/// The figures a rule reads, a column for each code; nothing where it reads none.
fn figures(rule: &Rule, profiles: &[Profile]) -> String {
    let keys: BTreeSet<&str> =
        profiles.iter().flat_map(|p| rule.figures_of(p)).map(|f| f.key.as_str()).collect();
    if keys.is_empty() {
        return String::new();
    }
    let mut out = String::from("\n| figure |");
    for profile in profiles {
        let _ = write!(out, " {} {} |", profile.code(), profile.edition());
    }
    out.push_str(" note |\n|---|");
    out.push_str(&"---|".repeat(profiles.len() + 1));
    out.push('\n');
    for key in keys {
        let _ = write!(out, "| `{key}` |");
        for profile in profiles {
            let cell = profile.find(key).map_or_else(|| "-".to_owned(), cell);
            let _ = write!(out, " {cell} |");
        }
        let _ = writeln!(out, " {} |", note(key, profiles));
    }
    out
}

/// Such as `0.25 in/ft, P3005.3 (secondary)`.
fn cell(figure: &Figure) -> String {
    let section = if figure.section.is_empty() { "our own" } else { &figure.section };
    format!("{} {}, {section} ({})", figure.value, figure.unit, figure.status)
}

/// What is worth knowing of a figure: once where the codes agree, else behind the name of each code.
fn note(key: &str, profiles: &[Profile]) -> String {
    let notes: Vec<(&str, &str)> =
        profiles.iter().filter_map(|p| Some((p.code(), p.find(key)?.note.as_str()))).collect();
    match notes.split_first() {
        Some((first, rest)) if rest.iter().all(|n| n.1 == first.1) => first.1.to_owned(),
        _ => {
            let said = notes.iter().filter(|n| !n.1.is_empty());
            said.map(|(code, note)| format!("{code}: {note}")).collect::<Vec<_>>().join("; ")
        }
    }
}
