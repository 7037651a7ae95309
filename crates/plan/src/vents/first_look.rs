//! A first look at a placed copy of a job: only at the rules that stop most vents, those first that need no measuring, so that what is
//! red anyway is not held to all of them.

use super::need::vents;
use crate::trial::{Bench, Put};
use truefall_check::check::{Held, check_by};
use truefall_check::facts::Facts;
use truefall_check::fixes::worsened;
use truefall_check::{Finding, Verdict};
use truefall_model::job::Placement;

/// Rules that read where parts are and who joins whom, and nothing that has to be measured.
const UNMEASURED: [&str; 5] = [
    "closure-misfit",
    "piece-too-short",
    "trap-arm-too-short",
    "vent-runs-flat-too-low",
    "vent-tied-too-low",
];

/// Rules that read bores and clashes.
const MEASURED: [&str; 4] =
    ["clash-with-wood", "pipe-against-pipe", "pipe-in-keep-out", "stud-notch-too-deep"];

/// Rules whose passes say how large, long and high a vent is.
const SAY: [&str; 4] = ["vent-too-small", "vent-too-long", "vent-runs-flat-too-low", "vent-tied-too-low"];

/// What was measured, where nothing in the first placement is red that was not red before and that `stops`; else the first such
/// finding. What is told is a part of what all rules tell.
pub(super) fn first_look(
    bench: &Bench<'_>,
    put: &Put,
    before: &[Finding],
    stops: impl Fn(&Finding) -> bool,
) -> Result<Vec<(Placement, Facts)>, Box<Finding>> {
    let Some(placement) = bench.placements.first().copied() else { return Ok(Vec::new()) };
    let placed = put.rough_in.placed(placement);
    let look = |facts: &[(Placement, Facts)], names: &[&str]| {
        let told = check_by(&held(bench, put, facts, false), names);
        worsened(before, &told).into_iter().find(|f| f.verdict == Verdict::RedTag && stops(f)).cloned()
    };
    if let Some(red) = look(&[(placement, Facts::default())], &UNMEASURED) {
        return Err(Box::new(red));
    }
    let facts = vec![(placement, Facts::of(&put.job, &put.rough_in, bench.catalog, placed))];
    match look(&facts, &MEASURED) {
        Some(red) => Err(Box::new(red)),
        None => Ok(facts),
    }
}

/// How large, long and high the vents of some traps are, each beside what the code asks and where it says so.
pub(super) fn figures(bench: &Bench<'_>, put: &Put, fixtures: &[usize]) -> Vec<String> {
    let placement = put.job.cut_on;
    let facts = [(placement, Facts::default())];
    let told = check_by(&held(bench, put, &facts, true), &SAY);
    let name = |f: &usize| &put.job.fixtures[*f].name;
    let mut lines: Vec<String> = Vec::new();
    for fixture in fixtures {
        // A height where vents meet is told with the highest rim, which may be another fixture's.
        let of = |f: &&Finding| {
            f.labels.contains(name(fixture)) || f.what.split([' ', ',']).any(|w| w == name(fixture).as_str())
        };
        for line in told.iter().filter(of).map(|f| format!("{} [{}]", f.what, f.source)) {
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    let long = |f: &usize| lines.iter().any(|l| l.contains(name(f).as_str()) && l.contains(" long"));
    let bare: Vec<usize> = fixtures.iter().copied().filter(|f| !long(f)).collect();
    let ways = vents(&Bench { job: &put.job, ..*bench }, &put.rough_in, placement);
    for fixture in bare {
        let way = ways.trap(fixture).and_then(|t| t.vent.as_ref()).and_then(|v| v.way.as_ref());
        if let Some(way) = way {
            let length = way.length(&put.rough_in, put.rough_in.placed(placement));
            let (_, size) = way.smallest(&put.rough_in);
            let name = name(&fixture);
            lines.push(format!(
                "the vent of {name} is {size} in and {length} long; the code sets it no length"
            ));
        }
    }
    lines
}

fn held<'a>(bench: &Bench<'a>, put: &'a Put, facts: &'a [(Placement, Facts)], passes: bool) -> Held<'a> {
    let (catalog, profile) = (bench.catalog, bench.profile);
    Held { job: &put.job, rough_in: &put.rough_in, catalog, profile, facts, passes }
}
