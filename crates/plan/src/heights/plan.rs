//! The plan of heights of a job: every stack solved, tried, and held to all rules.

use super::bay::BoxSet;
use super::change::edits;
use super::clock::{Hour, hours};
use super::column::Column;
use super::conflict::{Conflict, conflict};
use super::doubt::{Doubt, doubts};
use super::ladder::{Combination, Cost, solve};
use super::mended::{lowered, mended};
use super::offer::{Ask, column};
use super::remedy::{Mend, remedies};
use super::riser::{NO_TEE, Riser, parts};
use super::settle::settle;
use super::window::{Window, windows};
use super::wood::bands;
use crate::prices::PriceList;
use crate::trial::{Bench, Trial, attempt};
use truefall_check::{Finding, Verdict, check};
use truefall_model::job::Edit;
use truefall_model::label::Label;
use truefall_model::place::{JobFault, RoughIn, place};

/// A job's stacks with their heights.
#[derive(Debug, Clone)]
pub struct HeightsPlan {
    /// The job placed as it was.
    pub rough_in: RoughIn,
    /// Stack by stack.
    pub stacks: Vec<StackPlan>,
    /// All edits of the stacks that were solved, tried together; none where nothing changes or they were refused.
    pub trial: Option<Trial>,
    /// The edits by themselves.
    pub edits: Vec<Edit>,
    /// Why the edits could not be tried, in words.
    pub refused: Option<String>,
    /// Whether prices were given.
    pub priced: bool,
}

/// One stack, or one straight part of a stack with an offset.
#[derive(Debug, Clone)]
pub struct StackPlan {
    /// Its name.
    pub stack: Label,
    /// The fitting that this straight part of it stands on; none where it stands on the base.
    pub above: Option<Label>,
    /// The fitting that ends it by turning the stack; none where it goes on to the top.
    pub below: Option<Label>,
    /// What came of it.
    pub outcome: Outcome,
}

/// What came of a stack.
#[derive(Debug, Clone)]
pub enum Outcome {
    /// It is left as it is; why, in words.
    Left(String),
    /// It can be built.
    Solved(Box<Solved>),
    /// It can't.
    Stuck(Box<Stuck>),
}

/// A stack with heights.
#[derive(Debug, Clone)]
pub struct Solved {
    /// What could be chosen.
    pub column: Column,
    /// What was.
    pub chosen: Combination,
    /// Cost of the fittings as the job has them, where they satisfy the windows.
    pub as_written: Option<Cost>,
    /// By station: its window.
    pub windows: Vec<Window>,
    /// By station: height of its centre over the datum as solved, inches.
    pub heights_z: Vec<f64>,
    /// By station: its height over the datum in the job, inches.
    pub before_z: Vec<f64>,
    /// By station: the height of its centre at the edges of its free span, over the datum, inches.
    pub spans_z: Vec<(f64, f64)>,
    /// Stations that stand in wood because they fit nowhere else, with the members.
    pub in_wood: Vec<(Label, Label)>,
    /// It was solved only with the sizes where the job has them: changed elsewhere, a rule refused it.
    pub sizes_as_written: bool,
    /// What errors would do.
    pub doubts: Vec<Doubt>,
    /// Boxes of washers that were set anew.
    pub boxes: Vec<BoxSet>,
    /// Its edits.
    pub edits: Vec<Edit>,
}

/// A stack without heights.
#[derive(Debug, Clone)]
pub struct Stuck {
    /// Who fights; none where even the sizes don't go together.
    pub conflict: Option<Conflict>,
    /// What would mend it.
    pub remedies: Vec<Mend>,
    /// By station: its window.
    pub windows: Vec<Window>,
    /// By station: its name.
    pub names: Vec<Label>,
    /// Whether it was judged with wood out of the way.
    pub wood_ignored: bool,
}

/// What a plan may draw on beside the job.
#[derive(Debug, Clone, Copy, Default)]
pub struct Means<'p> {
    /// Prices, where the user gave some.
    pub prices: Option<&'p PriceList>,
    /// Street forms may stand in for plain tees where that saves a joint. Their figures are from memory.
    pub streets: bool,
}

/// Plans the heights of all stacks; `told` hears the name of each as its turn comes.
///
/// # Errors
/// The job can't be placed.
pub fn plan(
    bench: &Bench<'_>,
    means: Means<'_>,
    told: &mut dyn FnMut(&Label),
) -> Result<HeightsPlan, Vec<JobFault>> {
    plan_of(bench, means, None, told)
}

/// The same for all stacks, or for one.
pub(crate) fn plan_of(
    bench: &Bench<'_>,
    means: Means<'_>,
    only: Option<&Label>,
    told: &mut dyn FnMut(&Label),
) -> Result<HeightsPlan, Vec<JobFault>> {
    let rough_in = place(bench.job, bench.catalog)?;
    let before = check(bench.job, &rough_in, bench.catalog, bench.profile, bench.placements);
    let mut stacks = Vec::new();
    let mut edits: Vec<Edit> = Vec::new();
    // From the base up: what stands above an offset stands on what was solved below it.
    let mut now = bench.job.clone();
    for (index, stack) in bench.job.stacks.iter().enumerate() {
        if only.is_some_and(|name| *name != stack.name) {
            continue;
        }
        told(&stack.name);
        let parts = parts(bench.job, &rough_in, index);
        let mut own: Vec<StackPlan> = Vec::new();
        for above in &parts {
            let mut after: Vec<Edit> = Vec::new();
            let bench = Bench { job: &now, ..*bench };
            let placed = place(&now, bench.catalog)?;
            let mut outcome =
                one(&bench, &placed, &before, index, above.as_ref(), means).unwrap_or_else(Outcome::Left);
            if let Outcome::Solved(solved) = &mut outcome {
                let serves: Vec<&Label> = solved.windows.iter().flat_map(|w| &w.serves).collect();
                let (boxes, more) = super::bay::set(&bench, &before, &solved.edits, &serves);
                solved.boxes = boxes;
                solved.edits.extend(more);
                for (station, z) in solved.column.stations.iter().zip(&mut solved.before_z) {
                    let part = rough_in.parts.iter().find(|p| p.label == station.name);
                    *z = part.map_or(*z, |p| rough_in.placed(bench.job.cut_on).origin(p.id).z);
                }
                let edits_of = solved.edits.clone();
                edits.extend(edits_of.iter().cloned());
                after.extend(edits_of);
            }
            let below = Riser::on(bench.job, bench.catalog, &placed, index, above.as_ref());
            let below = below.ok().and_then(|r| Some(r.stack().up.get(r.kept_from)?.name.clone()));
            own.push(StackPlan { stack: stack.name.clone(), above: above.clone(), below, outcome });
            // What was solved was put in and placed before: it fits.
            let _ = Edit::All(after).apply(&mut now);
        }
        let empty = |p: &StackPlan| matches!(&p.outcome, Outcome::Left(why) if why == NO_TEE);
        if own.iter().all(empty) {
            own.truncate(1);
        } else {
            own.retain(|p| !empty(p));
        }
        stacks.extend(own);
    }
    let (trial, refused) = match attempt(bench, &before, edits.clone()) {
        Ok(trial) => (Some(trial), None),
        Err(why) => (None, Some(why.to_string())),
    };
    Ok(HeightsPlan { rough_in, stacks, trial, edits, refused, priced: means.prices.is_some() })
}

fn one(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    before: &[Finding],
    index: usize,
    above: Option<&Label>,
    means: Means<'_>,
) -> Result<Outcome, String> {
    let site = Riser::on(bench.job, bench.catalog, rough_in, index, above)?;
    let windows = windows(&site, bench.profile)?;
    let hours = hours(&site, bench, before, &windows);
    let asks = asks(means);
    let ask = asks[0];
    let mut best: Option<((bool, usize), Solved)> = None;
    for ask in asks {
        let Some(solved) = solved(&site, &windows, &hours, &ask) else { continue };
        let faults = attempt(bench, before, solved.edits.clone()).map_or((true, usize::MAX), |trial| {
            let red = trial.findings.iter().filter(|f| f.verdict == Verdict::RedTag).count();
            (!trial.accepted(), red)
        });
        if best.as_ref().is_none_or(|(least, _)| faults < *least) {
            best = Some((faults, solved));
        }
    }
    if let Some((_, solved)) = best {
        return Ok(Outcome::Solved(Box::new(solved)));
    }
    let column = column(&site, &windows, &hours, &Ask { clear_of_wood: false, ..ask });
    let conflict = conflict(&column);
    let mut mends: Vec<Mend> = Vec::new();
    if let Some(conflict) = &conflict {
        let told = remedies(&column, conflict);
        mends = told
            .into_iter()
            .filter_map(|remedy| mended(bench, before, &site, &windows, remedy, means))
            .collect();
        if let Some(first) = conflict.stations.first() {
            mends.extend(lowered(bench, before, &site, *first, means));
        }
    }
    let names = (0..site.stations.len()).map(|s| site.fit(s).name.clone()).collect();
    Ok(Outcome::Stuck(Box::new(Stuck { conflict, remedies: mends, windows, names, wood_ignored: true })))
}

/// Out of the wood with any sizes first; with the sizes as written, or in the wood, where that leaves fewer red tags or there
/// is no other place.
fn asks(means: Means<'_>) -> [Ask<'_>; 4] {
    let Means { prices, streets } = means;
    let ask = Ask { prices, streets, clear_of_wood: true, sizes_as_written: false };
    [
        ask,
        Ask { sizes_as_written: true, ..ask },
        Ask { clear_of_wood: false, ..ask },
        Ask { clear_of_wood: false, sizes_as_written: true, ..ask },
    ]
}

/// The first way in which a part of a stack can be built at all.
pub(super) fn first_solved(
    bench: &Bench<'_>,
    before: &[Finding],
    site: &Riser<'_>,
    means: Means<'_>,
) -> Option<Solved> {
    let windows = windows(site, bench.profile).ok()?;
    let hours = hours(site, bench, before, &windows);
    asks(means).iter().find_map(|ask| solved(site, &windows, &hours, ask))
}

fn solved(site: &Riser<'_>, windows: &[Window], hours: &[Vec<Hour>], ask: &Ask<'_>) -> Option<Solved> {
    let column = column(site, windows, hours, ask);
    let chosen = solve(&column)?;
    let along = settle(&column, &chosen)?;
    let heights_z: Vec<f64> = along.iter().map(|a| site.height(*a)).collect();
    let before_z = (0..site.stations.len()).map(|s| site.z(s)).collect();
    let choice = |s: usize| &column.stations[s].choices[chosen.steps[s].0];
    let spans_z = along
        .iter()
        .enumerate()
        .map(|(s, at)| {
            let (down, up) = choice(s).heights.slack(*at).unwrap_or((0.0, 0.0));
            (site.height(at - down), site.height(at + up))
        })
        .collect();
    let in_wood = (0..site.stations.len())
        .filter(|_| !ask.clear_of_wood)
        .flat_map(|s| {
            let pattern = site.catalog.pattern(choice(s).fit.as_str()).ok();
            let z = heights_z[s];
            pattern
                .map(|p| bands(site, s, p, choice(s)))
                .unwrap_or_default()
                .into_iter()
                .filter(move |b| z > b.from_z + 1e-6 && z < b.to_z - 1e-6)
                .map(move |b| (site.fit(s).name.clone(), b.member))
        })
        .collect();
    let serving: Vec<usize> = (0..windows.len()).filter(|s| !windows[*s].serves.is_empty()).collect();
    let doubts = doubts(&column, &chosen, &along, &serving, &floors(site, windows));
    let edits = edits(site, &column, &chosen, &heights_z);
    let as_written = written(&column);
    Some(Solved {
        as_written,
        windows: windows.to_vec(),
        heights_z,
        before_z,
        spans_z,
        in_wood,
        sizes_as_written: ask.sizes_as_written,
        doubts,
        boxes: Vec::new(),
        edits,
        chosen,
        column,
    })
}

/// What the fittings as written cost, if they can be given heights at all.
fn written(column: &Column) -> Option<Cost> {
    let mut own = column.clone();
    for station in &mut own.stations {
        station.choices.truncate(1);
    }
    solve(&own).map(|c| c.cost)
}

/// Floors with the stations whose fixtures stand on each.
fn floors(site: &Riser<'_>, windows: &[Window]) -> Vec<(Label, Vec<usize>)> {
    let on = |floor: &Label| -> Vec<usize> {
        let stands = |name: &Label| site.job.fixtures.iter().any(|f| f.name == *name && f.floor == *floor);
        (0..windows.len()).filter(|s| windows[*s].serves.iter().any(&stands)).collect()
    };
    let floors = site.rough_in.framed.floors.iter().map(|f| (f.label.clone(), on(&f.label)));
    floors.filter(|(_, stations)| !stations.is_empty()).collect()
}
