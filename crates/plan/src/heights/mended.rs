//! A remedy put into the job: as edits, placed, solved again with what placement makes of it, and held to all rules. What does
//! not hold there is not told.

use super::plan::{Means, first_solved};
use super::remedy::{Mend, Remedy};
use super::riser::Riser;
use super::window::Window;
use crate::trial::{Bench, Trial, attempt, put};
use truefall_check::{Finding, Verdict};
use truefall_model::job::Edit;
use truefall_model::job::edit::Change;
use truefall_model::job::fixture::Fixture;
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::{Base, End};
use truefall_model::place::Trouble;
use truefall_model::units::{Grade, Length};

/// Grades are tried in these steps, and not beyond so much more than the branch has; in per ft.
const GRADE_STEP: f64 = 1.0 / 64.0;
const GRADE_MOST: f64 = 0.5;
/// The grade of a drain of which nothing is said, in per ft.
const USUAL_GRADE: f64 = 0.25;

/// A remedy with what it brings along; none where it doesn't hold once it is placed.
pub(super) fn mended(
    bench: &Bench<'_>,
    before: &[Finding],
    site: &Riser<'_>,
    windows: &[Window],
    remedy: Remedy,
    means: Means<'_>,
) -> Option<Mend> {
    let edits = match &remedy {
        Remedy::Street { station, .. } => {
            // One that the catalog has, with a bushing in its branch maybe; else what one would be like, which can't be placed.
            let with = Means { streets: true, ..means };
            let real = holds(bench, before, site, Vec::new(), with).and_then(|(trial, _)| {
                let name = &site.fit(*station).name;
                let fit = trial.job.stacks[site.index].up.iter().find(|f| f.name == *name)?.fit.clone();
                let street = site.catalog.pattern(fit.as_str()).is_ok_and(|p| p.family.is_street());
                let remedy = Remedy::Street { station: *station, fit };
                street.then(|| Mend { brings: brings(&trial), remedy, placed: true })
            });
            return Some(real.unwrap_or(Mend { remedy, brings: Vec::new(), placed: false }));
        }
        Remedy::Move { station, by } => vec![moved(site, windows, *station, *by)?],
        Remedy::Accept { station, by } => vec![accepted(site, windows, *station, *by)?],
        Remedy::Base { by } => vec![base(site, *by)],
        Remedy::Ceiling { by, .. } => vec![raised(site, site.kept_from, *by)?],
        Remedy::Lower { .. } => return None,
    };
    let (trial, _) = holds(bench, before, site, edits, means)?;
    Some(Mend { brings: brings(&trial), remedy, placed: true })
}

/// The lowest of the tees that fight set lower, its branch run at the least steeper grade that makes it hold.
pub(super) fn lowered(
    bench: &Bench<'_>,
    before: &[Finding],
    site: &Riser<'_>,
    station: usize,
    means: Means<'_>,
) -> Option<Mend> {
    let name = &site.fit(station).name;
    let mut from = site.job.branches.iter().enumerate().filter(|(_, b)| b.from.fitting == *name);
    let (at, branch) = from.next().filter(|(_, b)| matches!(b.end, End::Fixture { .. }))?;
    if from.next().is_some() {
        return None;
    }
    let grade = branch.grade.map_or(USUAL_GRADE, Grade::to_per_foot);
    for step in 1..=(GRADE_MOST / GRADE_STEP) as u32 {
        let steeper = Grade::per_foot(grade + GRADE_STEP * f64::from(step));
        let mut item = branch.clone();
        item.grade = Some(steeper);
        let edits = vec![Edit::Branch(Change::Replace { at, item: Box::new(item) })];
        let Some((trial, heights_z)) = holds(bench, before, site, edits, means) else { continue };
        if !trial.accepted() {
            continue;
        }
        let (to_z, branch) = (heights_z[station], branch.name.clone());
        let remedy = Remedy::Lower { station, to_z, branch, grade: steeper };
        return Some(Mend { brings: brings(&trial), remedy, placed: true });
    }
    None
}

fn brings(trial: &Trial) -> Vec<Finding> {
    trial.breaks.iter().filter(|f| f.verdict == Verdict::RedTag).cloned().collect()
}

/// The job with edits in it solved and tried; none where it has no heights still, or they are not what placement has.
fn holds(
    bench: &Bench<'_>,
    before: &[Finding],
    site: &Riser<'_>,
    mut edits: Vec<Edit>,
    means: Means<'_>,
) -> Option<(Trial, Vec<f64>)> {
    let now = put(bench, edits.clone()).ok()?;
    let bench_now = Bench { job: &now.job, ..*bench };
    let again = Riser::on(&now.job, bench.catalog, &now.rough_in, site.index, site.above.as_ref()).ok()?;
    let solved = first_solved(&bench_now, before, &again, means)?;
    edits.extend(solved.edits.iter().cloned());
    let trial = attempt(bench, before, edits).ok()?;
    let run = trial.rough_in.runs.iter().find(|r| r.label == site.stack().name)?;
    let short = |t: &Trouble| match t {
        Trouble::ShortPiece { piece, .. } => trial.rough_in.part(*piece).run == run.id,
        _ => false,
    };
    if trial.rough_in.troubles.iter().any(short) {
        return None;
    }
    let placed = trial.rough_in.placed(trial.job.cut_on);
    for (station, z) in solved.column.stations.iter().zip(&solved.heights_z) {
        let part = trial.rough_in.parts.iter().find(|p| p.label == station.name)?;
        if (placed.origin(part.id).z - z).abs() > 1e-3 {
            return None;
        }
    }
    Some((trial, solved.heights_z))
}

/// The fixture of a station set higher or lower; or the tee itself, where nothing but its written height holds it.
fn moved(site: &Riser<'_>, windows: &[Window], station: usize, by: Length) -> Option<Edit> {
    let Some((at, fixture)) = served(site, windows, station) else {
        let tied = |e: &End| matches!(e, End::Tie { to } if to.fitting == site.fit(station).name);
        let free = windows[station].serves.is_empty() && !site.job.branches.iter().any(|b| tied(&b.end));
        return free.then(|| raised(site, site.stations[station], by)).flatten();
    };
    let floor = site.rough_in.framed.floor(&fixture.floor)?;
    let landing = site.placed.landings.iter().find(|l| l.fixture == at)?;
    let off = |z: f64| Height {
        off: Length::inches(z - floor.finished_z) + by,
        floor: fixture.floor.clone(),
        surface: Surface::Finished,
    };
    let mut item = fixture.clone();
    let up = |h: &Height| Height { off: h.off + by, ..h.clone() };
    if fixture.kind.on_flange() {
        // A closet stands on its floor.
        return None;
    } else if fixture.kind.through_wall() {
        item.outlet = Some(fixture.outlet.as_ref().map_or_else(|| off(landing.wants.z), up));
    } else if fixture.kind == truefall_model::job::fixture::FixtureKind::WasherBox {
        item.rim = Some(fixture.rim.as_ref().map_or_else(|| off(landing.wants.z), up));
        item.outlet = fixture.outlet.as_ref().map(up);
    } else {
        let usual = site.catalog.rough_in(fixture.kind.word())?.outlet.value.to_inches();
        item.outlet = Some(fixture.outlet.as_ref().map_or_else(|| off(floor.finished_z + usual), up));
    }
    Some(Edit::Fixture(Change::Replace { at, item: Box::new(item) }))
}

/// The pipe of a station's fixture taken as it comes: its tolerance made so large.
fn accepted(site: &Riser<'_>, windows: &[Window], station: usize, by: Length) -> Option<Edit> {
    let (at, fixture) = served(site, windows, station)?;
    // What a code limits is not for the plumber to accept.
    if !(fixture.kind.through_wall() || fixture.kind.on_flange()) {
        return None;
    }
    let landing = site.placed.landings.iter().find(|l| l.fixture == at)?;
    let beside = (landing.at - landing.wants).xy().norm();
    let own = landing.tolerance.to_inches();
    let room = (own * own - beside * beside).max(0.0).sqrt() + by.abs().to_inches();
    let mut item: Fixture = fixture.clone();
    // A thousandth more, for what the pipe comes out beside its mark as the tee goes up or down.
    item.tolerance = Some(Length::inches(room.hypot(beside) + 1e-3));
    Some(Edit::Fixture(Change::Replace { at, item: Box::new(item) }))
}

fn served<'j>(site: &Riser<'j>, windows: &[Window], station: usize) -> Option<(usize, &'j Fixture)> {
    let name = windows[station].serves.first()?;
    site.job.fixtures.iter().enumerate().find(|(_, f)| f.name == *name)
}

fn base(site: &Riser<'_>, by: Length) -> Edit {
    let mut stack = site.stack().clone();
    match &mut stack.base {
        Base::IronHub { rim: z, .. }
        | Base::CutPipe { top: z, .. }
        | Base::IronBranch { centre: z, .. }
        | Base::Stub { centre: z, .. } => z.off += by,
    }
    Edit::Stack(Change::Replace { at: site.index, item: Box::new(stack) })
}

/// A fitting of the stack with its written height changed.
fn raised(site: &Riser<'_>, at: usize, by: Length) -> Option<Edit> {
    let mut fit = site.stack().up.get(at)?.clone();
    fit.height.as_mut()?.off += by;
    Some(Edit::Fit { run: site.stack().name.clone(), change: Change::Replace { at, item: Box::new(fit) } })
}
