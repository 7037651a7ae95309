//! The page of a rule, for `explain` and for the generated list of all rules.

use crate::code::Profile;
use crate::rule::{Basis, Family, Rule};
use crate::rules;
use std::fmt::Write as _;

/// The page of one rule with the figures of a profile; none if there is no such rule.
pub fn explain(id: &str, profile: &Profile) -> Option<String> {
    rules::by_id(id).map(|rule| page(rule, profile, 1))
}

/// `docs/rules.md`: all rules, family by family, with the figures of a profile.
pub fn rules_page(profile: &Profile) -> String {
    let mut out = String::from(
        "<!-- Generated from the rules themselves; mend their doc comments in crates/check/src/rules, then run \
         TRUEFALL_BLESS=1 cargo test -p truefall-check rules_page -->\n\n# Rules\n\n",
    );
    let _ = writeln!(
        out,
        "Figures are those of the profile `{}` ({} {}). {} A job may amend any of them under `local`.\n",
        profile.name(),
        profile.code(),
        profile.edition(),
        profile.note()
    );
    for rule in rules::ALL {
        let _ = writeln!(out, "- [{}](#{}): {}", rule.id, rule.id, rule.summary);
    }
    for family in Family::ALL {
        for rule in rules::ALL.iter().filter(|r| r.family == family) {
            out.push('\n');
            out.push_str(&page(rule, profile, 2));
        }
    }
    out
}

fn page(rule: &Rule, profile: &Profile, level: usize) -> String {
    let mut out = format!("{} {}\n\n{}\n\n", "#".repeat(level), rule.id, rule.summary);
    for line in rule.doc.lines() {
        let line = line.strip_prefix(' ').unwrap_or(line);
        let deeper = if line.starts_with("# ") { "#".repeat(level) } else { String::new() };
        let _ = writeln!(out, "{deeper}{line}");
    }
    if let Basis::House(reason) = rule.basis {
        let _ = writeln!(out, "\nOur own rule: {reason}.");
    }
    let figures = rule.figures_of(profile);
    if !figures.is_empty() {
        out.push_str("\n| figure | value | source | note |\n|---|---|---|---|\n");
    }
    for f in figures {
        let section = if f.section.is_empty() { "our own" } else { &f.section };
        let _ =
            writeln!(out, "| `{}` | {} {} | {section} ({}) | {} |", f.key, f.value, f.unit, f.status, f.note);
    }
    out
}
