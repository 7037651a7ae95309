//! A way built in a copy of the job, with its plates, and held to all rules.

use super::answer::Route;
use super::edits::Old;
use super::graph::{Escape, State};
use super::plan::Search;
use super::price::Priced;
use super::search::Way;
use super::tees::How;
use crate::trial::{Bench, Refused, Trial, attempt};
use truefall_check::{Finding, Verdict};
use truefall_model::framing::provided::Provided;
use truefall_model::job::Placement;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::label::Label;
use truefall_model::units::Length;

impl Search<'_> {
    /// Builds a way in a copy of the job, with the plates and hangers it needs, and holds it to all rules.
    pub(super) fn attempt(&self, graph: &Escape<'_>, way: &Way<State>) -> Result<Route, Vec<String>> {
        let edits = self.old.edits(graph, way);
        let runs = [self.old.run(), self.old.drain()];
        let (trial, supplied) =
            supplied(self.bench, self.before, edits, &runs).map_err(|why| vec![why.to_string()])?;
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
        let above = way.states.last().and_then(|end| graph.riser(end)).map(|(riser, _)| &riser.met.holes);
        let holes = way.states.windows(2).flat_map(|pair| graph.meets(&pair[0], &pair[1]).holes);
        let holes = holes.chain(above.into_iter().flatten().cloned());
        let holes = holes.filter_map(|h| {
            let member = self.site.framed.member_of(h.member)?;
            (member.kind != truefall_model::framing::member::MemberKind::Subfloor)
                .then(|| (member.label.clone(), h.hole, h.used))
        });
        let landing = trial.rough_in.drawn.landings.iter().find(|l| l.fixture == self.old.fixture);
        Ok(Route {
            cost: way.cost,
            tee: self.tee_words(graph, way),
            fittings: self.fittings(graph, way),
            level: Length::inches(way.states.last().map_or(0.0, State::behind)),
            holes: holes.collect(),
            plates: supplied
                .iter()
                .filter_map(|p| match p {
                    Provided::Plate { member, .. } => Some(member.clone()),
                    _ => None,
                })
                .collect(),
            hangers: supplied
                .iter()
                .filter_map(|p| match p {
                    Provided::Hanger { on, at, .. } => Some((on.clone(), *at)),
                    _ => None,
                })
                .collect(),
            price: self.asked.prices.map(|list| {
                let (material, size) = (self.site.material, self.site.size);
                let mut fittings = self.fittings(graph, way);
                let tee = &graph.tees[way.states[0].tee as usize];
                if matches!(tee.how, How::New { .. } | How::Wye { .. }) {
                    fittings.push(tee.pattern.clone());
                }
                let plates = supplied.iter().filter(|p| matches!(p, Provided::Plate { .. })).count();
                Priced { list, material, size }.sum(&fittings, new_pipe(&trial, &runs), plates)
            }),
            way: self.way(graph, way),
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
    let runs = [old.run(), old.drain()];
    let own = |f: &&Finding| {
        f.verdict == Verdict::RedTag
            && f.rule != "trap-not-vented"
            && (f.labels.contains(fixture) || runs.iter().any(|run| f.labels.contains(run)))
    };
    trial.findings.iter().filter(own).collect()
}

fn of_fixture(finding: &Finding, fixture: &Label, rules: &[&str]) -> bool {
    rules.contains(&finding.rule) && finding.labels.contains(fixture)
}

/// The cut lengths of the pieces of runs, together.
fn new_pipe(trial: &Trial, runs: &[Label]) -> Length {
    let parts = trial.rough_in.parts.iter();
    parts.filter(|p| runs.contains(&trial.rough_in.run(p.run).label)).filter_map(|p| p.cut()).sum()
}

/// How often what was supplied may ask for more, such as a hanger in a gap that plates do not close.
const ROUNDS: usize = 3;

/// Tries edits together with the plates and hangers that the runs they build ask for.
///
/// # Errors
/// The edits don't fit the job, or it can't be placed with them.
pub(super) fn supplied(
    bench: &Bench<'_>,
    before: &[Finding],
    edits: Vec<Edit>,
    runs: &[Label],
) -> Result<(Trial, Vec<Provided>), Refused> {
    let mut trial = attempt(bench, before, edits)?;
    let mut found: Vec<Provided> = Vec::new();
    for _ in 0..ROUNDS {
        let more = asked_for(&trial, &found, runs);
        if more.is_empty() {
            break;
        }
        let mut edits = trial.edits.clone();
        edits.extend(more.iter().enumerate().map(|(i, item)| {
            let at = trial.job.provided.len() + i;
            Edit::Provided(Change::Insert { at, item: Box::new(item.clone()) })
        }));
        found.extend(more);
        trial = attempt(bench, before, edits)?;
    }
    Ok((trial, found))
}

/// The plates and hangers that runs ask for and do not have.
fn asked_for(trial: &Trial, have: &[Provided], runs: &[Label]) -> Vec<Provided> {
    let mut found: Vec<Provided> = Vec::new();
    for finding in
        trial.findings.iter().filter(|f| ["shield-plate-missing", "hanger-too-far"].contains(&f.rule))
    {
        if !runs.iter().any(|run| finding.labels.contains(run)) {
            continue;
        }
        for edit in finding.cures.iter().take(1).flat_map(|c| &c.edits) {
            if let Edit::Provided(Change::Insert { at, item }) = edit
                && *at >= trial.job.provided.len()
                && !found.contains(item)
                && !have.contains(item)
            {
                found.push((**item).clone());
            }
        }
    }
    found
}
