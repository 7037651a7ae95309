//! A way built in a copy of the job, with its plates, and held to all rules.

use super::answer::Route;
use super::edits::Old;
use super::graph::{Escape, State};
use super::plan::Search;
use super::search::Way;
use crate::trial::{Trial, attempt};
use truefall_check::{Finding, Verdict};
use truefall_model::framing::provided::Provided;
use truefall_model::job::Placement;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::label::Label;
use truefall_model::units::Length;

impl Search<'_> {
    /// Builds a way in a copy of the job, with the plates it needs, and holds it to all rules.
    pub(super) fn attempt(&self, graph: &Escape<'_>, way: &Way<State>) -> Result<Route, Vec<String>> {
        let edits = self.old.edits(graph, way);
        let mut trial = attempt(self.bench, self.before, edits).map_err(|why| vec![why.to_string()])?;
        let plates = plates(&trial, self.bench.job.provided.len(), &self.old.run());
        if !plates.is_empty() {
            let mut edits = trial.edits.clone();
            edits.extend(plates.iter().enumerate().map(|(i, plate)| {
                let at = self.bench.job.provided.len() + i;
                Edit::Provided(Change::Insert { at, item: Box::new(plate.clone()) })
            }));
            trial = attempt(self.bench, self.before, edits).map_err(|why| vec![why.to_string()])?;
        }
        let fixture = self.asked.fixture;
        let vented_before =
            !self.before.iter().any(|f| of_fixture(f, fixture, &["trap-not-vented", "fixture-not-drained"]));
        let pardoned = |f: &Finding| !vented_before && of_fixture(f, fixture, &["trap-not-vented"]);
        let new = trial.breaks.iter().filter(|f| f.verdict == Verdict::RedTag && !pardoned(f));
        // As drawn a route answers for all that is red about it, be it red before; a lean is the stack's.
        let own = still_red(&trial, fixture, &self.old).into_iter();
        let own = own.filter(|f| f.placement == Placement::Drawn && !f.rule.starts_with("closet-"));
        let mut red: Vec<String> = new.chain(own).map(ToString::to_string).collect();
        red.sort();
        red.dedup();
        if !red.is_empty() {
            return Err(red);
        }
        let told = |findings: &[Finding], red: bool| -> Vec<String> {
            let wanted = findings.iter().filter(|f| (f.verdict == Verdict::RedTag) == red);
            wanted.map(ToString::to_string).collect()
        };
        let holes = way.states.windows(2).flat_map(|pair| graph.meets(&pair[0], &pair[1]).holes);
        let holes = holes.filter_map(|h| {
            let member = self.site.framed.member_of(h.member)?;
            (member.kind != truefall_model::framing::member::MemberKind::Subfloor)
                .then(|| (member.label.clone(), h.hole, h.used))
        });
        let landing = trial.rough_in.drawn.landings.iter().find(|l| l.fixture == self.old.fixture);
        Ok(Route {
            cost: way.cost,
            tee: self.tee_words(way),
            fittings: self.fittings(graph, way),
            level: Length::inches(way.states.last().map_or(0.0, State::behind)),
            holes: holes.collect(),
            plates: plates
                .iter()
                .filter_map(|p| match p {
                    Provided::Plate { member, .. } => Some(member.clone()),
                    _ => None,
                })
                .collect(),
            unvented: trial.findings.iter().any(|f| of_fixture(f, fixture, &["trap-not-vented"])),
            misfit: landing.map(|l| l.misfit()),
            tells: told(&trial.breaks, false),
            mends: told(&trial.mends, true),
            still: still_red(&trial, fixture, &self.old).into_iter().map(ToString::to_string).collect(),
            edits: trial.edits,
        })
    }
}

/// What is red about the fixture or its run, new or not; a missing vent is told apart.
fn still_red<'t>(trial: &'t Trial, fixture: &Label, old: &Old<'_>) -> Vec<&'t Finding> {
    let run = old.run();
    let own = |f: &&Finding| {
        f.verdict == Verdict::RedTag
            && f.rule != "trap-not-vented"
            && (f.labels.contains(fixture) || f.labels.contains(&run))
    };
    trial.findings.iter().filter(own).collect()
}

fn of_fixture(finding: &Finding, fixture: &Label, rules: &[&str]) -> bool {
    rules.contains(&finding.rule) && finding.labels.contains(fixture)
}

/// The plates that the holes of a run ask for.
fn plates(trial: &Trial, from: usize, run: &Label) -> Vec<Provided> {
    let mut found: Vec<Provided> = Vec::new();
    for finding in trial.findings.iter().filter(|f| f.rule == "shield-plate-missing") {
        if !finding.labels.contains(run) {
            continue;
        }
        for edit in finding.cures.iter().take(1).flat_map(|c| &c.edits) {
            if let Edit::Provided(Change::Insert { at, item }) = edit
                && *at >= from
                && !found.contains(item)
            {
                found.push((**item).clone());
            }
        }
    }
    found
}
