//! What it would take to make a stopped route lawful: each thing tried on a copy of the job before it is told.

use super::asked::Asked;
use super::head_off::{CLEAR_IN, HeadedOff, headed_off};
use super::stop::Stop;
use crate::trial::{Bench, attempt};
use nalgebra::Point3;
use truefall_check::{Finding, Verdict};
use truefall_model::framing::member::MemberId;
use truefall_model::framing::provided::Provided;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::End;
use truefall_model::label::Label;
use truefall_model::place::place;
use truefall_model::tolerance::at_least;
use truefall_model::units::Length;

/// A thing that makes the route lawful.
#[derive(Debug, Clone, PartialEq)]
pub struct Takes {
    /// What one does, with its numbers.
    pub words: String,
    /// The route and that, as changes of the job.
    pub edits: Vec<Edit>,
}

/// Tries what would take the stops away: first what leaves nothing newly red, then what a carpenter could do that is not accepted
/// as it stands, because other things stop the route too or because the headers have to be made for the floor.
pub fn what_it_takes(
    bench: &Bench<'_>,
    before: &[Finding],
    route: &[Edit],
    (stops, legs): (&[Stop], &[[Point3<f64>; 2]]),
    asked: &Asked<'_>,
) -> (Vec<Takes>, Vec<String>) {
    let mut cures: Vec<(String, Vec<Edit>)> = Vec::new();
    cures.extend(doubled(bench, stops));
    cures.extend(smaller_bit(bench, stops, route));
    cures.extend(furred(bench, stops));
    let mut takes: Vec<Takes> = cures
        .into_iter()
        .filter_map(|(words, extra)| tried(bench, before, route, extra, words, asked).ok())
        .collect();
    let mut carpenter = Vec::new();
    'clear: for clear_in in CLEAR_IN {
        for HeadedOff { words, house } in headed_off(bench, stops, legs, clear_in) {
            match tried(bench, before, route, vec![house], words.clone(), asked) {
                Ok(accepted) => {
                    takes.push(accepted);
                    carpenter.clear();
                    break 'clear;
                }
                // Told with the smallest gap: a larger one was no better.
                Err(still) if clear_in <= CLEAR_IN[0] => {
                    carpenter.push(format!("{words}; then still {still}"))
                }
                Err(_) => {}
            }
        }
    }
    (takes, carpenter)
}

/// What is told where the copy of the job can't be placed at all.
const UNPLACED: &str = "unfit to be placed";

/// The first thing newly red, where it is not accepted.
fn tried(
    bench: &Bench<'_>,
    before: &[Finding],
    route: &[Edit],
    extra: Vec<Edit>,
    words: String,
    asked: &Asked<'_>,
) -> Result<Takes, String> {
    let mut edits = extra;
    edits.extend(route.iter().cloned());
    let mut trial = attempt(bench, before, edits.clone()).map_err(|_| UNPLACED.to_owned())?;
    // Plates are no obstacle: they are put on, and told with the route.
    let mut at = trial.job.provided.len();
    let mut plates = Vec::new();
    for finding in trial.breaks.iter().filter(|f| f.rule == "shield-plate-missing") {
        for edit in finding.cures.iter().take(1).flat_map(|c| &c.edits) {
            if let Edit::Provided(Change::Insert { item, .. }) = edit
                && !plates.iter().any(
                    |p: &Edit| matches!(p, Edit::Provided(Change::Insert { item: own, .. }) if own == item),
                )
            {
                plates.push(Edit::Provided(Change::Insert { at, item: item.clone() }));
                at += 1;
            }
        }
    }
    if !plates.is_empty() {
        edits.extend(plates);
        trial = attempt(bench, before, edits).map_err(|_| UNPLACED.to_owned())?;
    }
    let vented_before = !before.iter().any(|f| {
        ["trap-not-vented", "fixture-not-drained"].contains(&f.rule) && f.labels.contains(asked.fixture)
    });
    let red = trial.breaks.iter().find(|f| {
        f.verdict == Verdict::RedTag
            && (vented_before || f.rule != "trap-not-vented" || !f.labels.contains(asked.fixture))
    });
    match red {
        Some(finding) => Err(format!("{}[{}]: {}", finding.verdict, finding.rule, finding.what)),
        None => Ok(Takes { words, edits: trial.edits }),
    }
}

/// The members that stop a route by the size of a hole or its edge.
fn cut(stops: &[Stop]) -> Vec<(MemberId, &Label, Length)> {
    let mut found: Vec<(MemberId, &Label, Length)> = Vec::new();
    for stop in stops {
        let (member, label, hole) = match stop {
            Stop::HoleTooLarge { member, label, hole, .. } => (*member, label, *hole),
            _ => continue,
        };
        if !found.iter().any(|f| f.0 == member) {
            found.push((member, label, hole));
        }
    }
    found
}

fn only_holes(stops: &[Stop]) -> bool {
    !stops.is_empty() && stops.iter().all(|s| matches!(s, Stop::HoleTooLarge { .. }))
}

fn listed(names: &[&Label]) -> String {
    names.iter().map(|l| l.as_str()).collect::<Vec<_>>().join(", ")
}

fn doubled(bench: &Bench<'_>, stops: &[Stop]) -> Option<(String, Vec<Edit>)> {
    if !only_holes(stops) {
        return None;
    }
    let rough_in = place(bench.job, bench.catalog).ok()?;
    let mut edits = Vec::new();
    let mut names = Vec::new();
    for (member, label, _) in cut(stops) {
        let member = rough_in.framed.member_of(member)?;
        let wall = rough_in.framed.wall_of(member.wall?)?;
        let item = Provided::DoubledStud { wall: wall.label.clone(), along: member.along? };
        let at = bench.job.provided.len() + edits.len();
        edits.push(Edit::Provided(Change::Insert { at, item: Box::new(item) }));
        names.push(label);
    }
    Some((format!("double {}", listed(&names)), edits))
}

fn smaller_bit(bench: &Bench<'_>, stops: &[Stop], route: &[Edit]) -> Option<(String, Vec<Edit>)> {
    if !only_holes(stops) {
        return None;
    }
    let branch = route.iter().find_map(|e| match e {
        Edit::Branch(Change::Replace { item, .. } | Change::Insert { item, .. }) => Some(item),
        _ => None,
    })?;
    let End::Fixture { .. } = branch.end else { return None };
    let size = branch
        .along
        .last()
        .and_then(|f| bench.catalog.pattern(f.fit.as_str()).ok())
        .map(|p| p.ports[p.enter].size)?;
    let outside = bench.catalog.pipe(branch.material, size)?.outside;
    let least = stops.iter().filter_map(|s| match s {
        Stop::HoleTooLarge { most, .. } => Some(*most),
        _ => None,
    });
    let most = least.reduce(Length::min)?;
    let bit = bench.catalog.stocked_bits().find(|bit| at_least(*bit, outside) && at_least(most, *bit))?;
    let names: Vec<&Label> = cut(stops).into_iter().map(|c| c.1).collect();
    let edits = names.iter().enumerate().map(|(i, label)| {
        let item = Provided::Hole { of: branch.name.clone(), member: Some((*label).clone()), size: bit };
        Edit::Provided(Change::Insert { at: bench.job.provided.len() + i, item: Box::new(item) })
    });
    Some((
        format!("bore {} with a {bit} bit, which the {size} in pipe still passes", listed(&names)),
        edits.collect(),
    ))
}

/// Deeper studs: the wall furred until the holes are within their share.
fn furred(bench: &Bench<'_>, stops: &[Stop]) -> Option<(String, Vec<Edit>)> {
    if !only_holes(stops) {
        return None;
    }
    let rough_in = place(bench.job, bench.catalog).ok()?;
    let mut by = Length::ZERO;
    let mut wall = None;
    for stop in stops {
        let Stop::HoleTooLarge { member, hole, most, .. } = stop else { continue };
        let member = rough_in.framed.member_of(*member)?;
        let own = rough_in.framed.wall_of(member.wall?)?.label.clone();
        if wall.as_ref().is_some_and(|w| *w != own) {
            return None;
        }
        wall = Some(own);
        let need = member.depth() * (*hole / *most) - member.depth();
        by = by.max(need);
    }
    let wall = wall?;
    let by = Length::inches((by.to_inches() * 16.0 - 1e-6).ceil() / 16.0);
    let mut house = bench.job.house.clone();
    let own = house.walls.iter_mut().find(|w| w.name == wall)?;
    own.depth += by;
    let depth = own.depth;
    Some((
        format!("fur {wall} out by {by} with full-depth wood, to studs {depth} deep"),
        vec![Edit::House(Box::new(house))],
    ))
}
