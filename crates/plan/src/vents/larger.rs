//! Larger pipe: a run whose air has to pass waste is made larger, from the fitting where a trap joins it upwards, so that a wet
//! vent, a common vent at two levels, a waste stack or a single stack holds.

use super::need::vents;
use super::open_end::sure;
use super::pool::Pool;
use super::step::Step;
use super::tries::Tries;
use truefall_model::catalog::name::FittingName;
use truefall_model::label::Label;
use truefall_model::place::{PartId, Run, RunKind};
use truefall_model::units::NominalSize;

/// Sizes tried over that which stands.
const SIZES: usize = 2;

/// For every need that meets air only past the waste of others: the pipe between larger, with its vent as it is and in full size.
pub(super) fn candidates(tries: &Tries<'_>, pool: &mut Pool) {
    let rough_in = tries.rough_in;
    let vents = vents(tries.bench, rough_in, tries.bench.job.cut_on);
    for (n, need) in tries.needs.iter().enumerate() {
        let Some(fitting) = vents.trap(need.fixture).and_then(|t| t.reached) else { continue };
        let run = rough_in.run(rough_in.part(fitting).run);
        let Some(at) = run.fits.iter().position(|f| f.1 == fitting) else { continue };
        let Some(top) = top_wet(tries, run).filter(|top| *top >= at) else { continue };
        for size in sizes(tries, run, at) {
            for full in [false, true] {
                if let Some((steps, words)) = larger(tries, run, at, top, size, full) {
                    sure(tries, pool, "larger pipe", Some(n), steps, vec![words]);
                }
            }
        }
    }
}

/// A run's upper end larger, from the last fitting with waste up, or from its foot up.
pub(super) fn to_the_top(tries: &Tries<'_>, run: &Run) -> Vec<(Vec<Step>, String)> {
    let Some(top) = top_wet(tries, run) else { return Vec::new() };
    let mut found: Vec<(Vec<Step>, String)> = Vec::new();
    for at in [top, 0] {
        for size in sizes(tries, run, top) {
            let made = larger(tries, run, at, top, size, true);
            found.extend(made.filter(|made| found.iter().all(|f| f.0 != made.0)));
        }
    }
    found
}

/// The last fitting of a run that waste passes through.
fn top_wet(tries: &Tries<'_>, run: &Run) -> Option<usize> {
    run.fits.iter().rposition(|(_, part)| tries.rough_in.network.wet[part.0 as usize])
}

fn sizes(tries: &Tries<'_>, run: &Run, at: usize) -> Vec<NominalSize> {
    let small = run.fits[at..].iter().map(|f| tries.rough_in.part(f.1)).flat_map(|p| ends(tries, p.id));
    let Some(small) = small.min() else { return Vec::new() };
    let made = |s: &NominalSize| tries.bench.catalog.pattern(&format!("{s} 1/4 bend")).is_ok();
    NominalSize::ALL.into_iter().filter(|s| *s > small && made(s)).take(SIZES).collect()
}

/// The sizes of the ports by which a part is entered and left, going up its run; the same twice where it ends there.
fn ends(tries: &Tries<'_>, part: PartId) -> [NominalSize; 2] {
    let [enter, leave] = ports(tries, part);
    let ports = tries.rough_in.part(part).ports();
    [ports[enter].size, ports[leave].size]
}

/// The port towards the base, and that by which its run goes on.
fn ports(tries: &Tries<'_>, part: PartId) -> [usize; 2] {
    let rough_in = tries.rough_in;
    let pattern = rough_in.part(part).pattern();
    let below = rough_in.joints.iter().find(|j| j.high.0 == part).map(|j| j.high.1);
    let enter = below.or(pattern.map(|p| p.enter)).unwrap_or(0);
    let run = rough_in.run(rough_in.part(part).run);
    let on = |id: PartId| rough_in.part(id).run == run.id;
    let above = rough_in.joints.iter().find(|j| j.low.0 == part && on(j.high.0)).map(|j| j.low.1);
    let usual = pattern.and_then(|p| p.leave).filter(|l| *l != enter);
    [enter, above.or(usual).unwrap_or(enter)]
}

/// The fittings of a run made larger, from place `from` to place `top`, `full` to its end; and those below, as no drain gets
/// smaller downstream. None where the foot is too small for it or the catalog lacks a fitting.
fn larger(
    tries: &Tries<'_>,
    run: &Run,
    from: usize,
    top: usize,
    size: NominalSize,
    full: bool,
) -> Option<(Vec<Step>, String)> {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let fits = bench.job.fits(&run.label)?;
    if fits.len() != run.fits.len() {
        return None;
    }
    let mut steps = Vec::new();
    let (foot, foot_size) = match run.kind {
        RunKind::Stack { base, .. } => (None, rough_in.part(base).ports()[0].size),
        RunKind::Branch { from, .. } => (Some(from), rough_in.part(from.0).ports()[from.1].size),
    };
    // Below the length in question only what is too small.
    let first = (0..=from).rev().find(|k| ends(tries, run.fits[*k].1)[0] >= size).unwrap_or(0);
    let reaches_foot = first == 0 && run.fits.first().is_some_and(|f| ends(tries, f.1)[0] < size);
    if reaches_foot && foot_size < size {
        let (part, port) = foot?;
        steps.push(refitted(tries, part, &[(port, size)])?);
    }
    let mut names: Vec<&Label> = Vec::new();
    for (k, (_, part)) in run.fits.iter().enumerate().skip(first) {
        let [enter, leave] = ports(tries, *part);
        let [was_in, was_out] = ends(tries, *part);
        let below = k > first || reaches_foot;
        let go_in = if below && (k <= top || full) { was_in.max(size) } else { was_in };
        let go_out = if k < top || full { was_out.max(size) } else { was_out };
        if (go_in, go_out) == (was_in, was_out) {
            continue;
        }
        let label = &rough_in.part(*part).label;
        names.push(label);
        let between = fits[k].fit.as_str().ends_with("bushing") || fits[k].fit.as_str().ends_with("reducer");
        if between && go_in == go_out {
            steps.push(Step::Remove { run: run.label.clone(), old: label.clone() });
        } else {
            steps.push(refitted(tries, *part, &[(enter, go_in), (leave, go_out)])?);
        }
    }
    if names.is_empty() {
        return None;
    }
    let names: Vec<String> = names.into_iter().map(ToString::to_string).collect();
    let vent = if full { " and its vent" } else { "" };
    Some((steps, format!("make {}{vent} {size} in at {}", run.label, names.join(", "))))
}

/// A fitting in the place of another of its family, some of its ports larger.
fn refitted(tries: &Tries<'_>, part: PartId, larger: &[(usize, NominalSize)]) -> Option<Step> {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let was = rough_in.part(part);
    let pattern = was.pattern()?;
    let mut sizes: Vec<NominalSize> = pattern.ports.iter().map(|p| p.size).collect();
    for (port, size) in larger {
        sizes[*port] = *size;
    }
    let through = [Some(pattern.enter), pattern.leave].into_iter().flatten();
    let mut name: Vec<NominalSize> = through.clone().map(|p| sizes[p]).collect();
    name.sort_by(|a, b| b.cmp(a));
    let sides = (0..sizes.len()).filter(|p| through.clone().all(|t| t != *p)).map(|p| sizes[p]);
    name.extend(sides);
    let name = FittingName::of(pattern.family, &name)?.to_string();
    let new = bench.catalog.pattern(&name).ok()?;
    if new.ports.len() != sizes.len() || new.ports.iter().zip(&sizes).any(|(p, s)| p.size != *s) {
        return None;
    }
    let run = &rough_in.run(was.run).label;
    let mut fit = bench.job.fits(run)?.iter().find(|f| f.name == was.label)?.clone();
    fit.fit = new.name.clone();
    Some(Step::Replace { run: run.clone(), old: was.label.clone(), fit: Box::new(fit) })
}
