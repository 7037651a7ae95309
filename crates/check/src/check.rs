//! Runs every rule over the placements asked for and settles what they told.

use crate::code::Profile;
use crate::ctx::Ctx;
use crate::facts::Facts;
use crate::finding::{Finding, Verdict};
use crate::rule::Rule;
use crate::vent::{Setting, Vents};
use crate::{rules, settle};
use truefall_model::catalog::Catalog;
use truefall_model::job::{Job, Placement};
use truefall_model::place::RoughIn;

/// Holds a placed job to every rule, in each of the placements named.
///
/// What is found alike in two placements is told once, under the first. The order is the same from run to run:
/// gravest first, then by rule, labels and place.
pub fn check(
    job: &Job,
    rough_in: &RoughIn,
    catalog: &Catalog,
    profile: &Profile,
    placements: &[Placement],
) -> Vec<Finding> {
    let facts: Vec<(Placement, Facts)> =
        placements.iter().map(|p| (*p, Facts::of(job, rough_in, catalog, rough_in.placed(*p)))).collect();
    check_facts(job, rough_in, catalog, profile, &facts)
}

/// As [`check`], with the bores and clashes of each placement already measured.
pub fn check_facts(
    job: &Job,
    rough_in: &RoughIn,
    catalog: &Catalog,
    profile: &Profile,
    facts: &[(Placement, Facts)],
) -> Vec<Finding> {
    held(&Held { job, rough_in, catalog, profile, facts, passes: false }).0
}

/// What is held to the rules.
#[derive(Debug, Clone, Copy)]
pub struct Held<'a> {
    /// What the user wrote.
    pub job: &'a Job,
    /// The placed job.
    pub rough_in: &'a RoughIn,
    /// Fittings, pipe and lumber.
    pub catalog: &'a Catalog,
    /// The figures of the code with local amendments laid over them.
    pub profile: &'a Profile,
    /// The placements, with what was measured in them.
    pub facts: &'a [(Placement, Facts)],
    /// Whether what passes is told too.
    pub passes: bool,
}

/// Holds a placed job to the rules of these names only: a part of what [`held`] tells, what passes among it where that is
/// asked for. A rule that reads what was not measured tells nothing of it.
pub fn check_by(these: &Held<'_>, names: &[&str]) -> Vec<Finding> {
    told(these, |rule| names.contains(&rule.id))
}

/// As [`check_facts`]; beside the findings, what passes, with how far it is from failing. Passes are none unless asked for.
pub fn held(held: &Held<'_>) -> (Vec<Finding>, Vec<Finding>) {
    let mut findings = told(held, |_| true);
    let passed = findings.split_off(findings.partition_point(|f| f.verdict != Verdict::Pass));
    (findings, passed)
}

fn told(held: &Held<'_>, asked: impl Fn(&Rule) -> bool) -> Vec<Finding> {
    let Held { job, rough_in, catalog, profile, facts, passes } = *held;
    let mut found = Vec::new();
    for (placement, facts) in facts {
        let placed = rough_in.placed(*placement);
        let vents = Vents::of(&Setting { job, rough_in, catalog, profile, placed });
        let ctx = Ctx { job, rough_in, profile, catalog, placed, facts, vents: &vents, passes };
        for rule in rules::ALL.iter().filter(|r| asked(r)) {
            (rule.check)(&ctx, &mut found);
        }
    }
    settle::settle(found, &job.accepted)
}
