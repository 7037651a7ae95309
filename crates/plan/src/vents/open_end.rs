//! Ends that are shut or left for later: what is nearest at hand to let air in by.

use super::candidate::Candidate;
use super::larger;
use super::offer::Refusal;
use super::pool::Pool;
use super::step::Step;
use super::takeoff::{Takeoff, vent};
use super::tries::Tries;
use super::way_out::{over_and_up, roof_end, tied};
use crate::trial::Bench;
use std::collections::BTreeMap;
use truefall_check::vent::rim;
use truefall_model::job::clock::Clock;
use truefall_model::job::pipes::Fit;
use truefall_model::job::pipes::{End, PortName};
use truefall_model::place::{PartKind, RoughIn, Run, RunKind};
use truefall_model::units::{Angle, NominalSize};

/// What can be done at the shut or open ends of dry pipe.
pub(super) fn candidates(tries: &Tries<'_>, pool: &mut Pool) {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let placed = rough_in.placed(bench.job.cut_on);
    let mut found: Vec<(&Run, Vec<Step>, String)> = Vec::new();
    for run in rough_in.runs.iter().filter(|r| is_shut(bench, r)) {
        let Some((part, port)) = open_port(rough_in, run) else { continue };
        let (at, axis) = (placed.stop(rough_in, part, port), placed.axis(rough_in, part, port));
        let end = |end: End| Step::End { run: run.label.clone(), end: Box::new(end) };
        let mut put = |steps, words: String| found.push((run, steps, words));
        let size = rough_in.part(part).ports()[port].size;
        if axis.z > 0.7 {
            if rough_in.framed.roof_over(at.x, at.y).is_some() {
                put(vec![end(roof_end(bench))], format!("take {} on through the roof", run.label));
            }
            if bench.profile.has_valves() {
                put(vec![end(End::Valve {})], format!("end {} in an air admittance valve", run.label));
            }
        } else if axis.z.abs() < 0.3 {
            let mut bend = Fit::plain(format!("{size} 1/4 bend"), "$1");
            bend.clock = Some(Clock::at(Angle::ZERO));
            if rough_in.framed.roof_over(at.x, at.y).is_some() {
                let steps =
                    vec![Step::Append { run: run.label.clone(), fit: Box::new(bend) }, end(roof_end(bench))];
                put(steps, format!("turn {} up with a {size} 1/4 bend $1 and through the roof", run.label));
            }
        }
        // Free ports that the end looks at.
        for other in
            rough_in.parts.iter().filter(|p| p.run != run.id && !rough_in.network.wet[p.id.0 as usize])
        {
            let PartKind::Fitting { plugs, .. } = &other.kind else { continue };
            for (i, its) in other.ports().iter().enumerate() {
                let taken = rough_in.joints.iter().any(|j| j.low == (other.id, i) || j.high == (other.id, i));
                let way = placed.stop(rough_in, other.id, i) - at;
                if taken
                    || plugs.contains(&i)
                    || its.size != size
                    || way.norm() < 1.0
                    || way.angle(&axis) > 0.1
                {
                    continue;
                }
                let to = PortName { fitting: other.label.clone(), port: Some(its.name.clone()) };
                let words = format!("join {} to {to}", run.label);
                put(vec![end(End::Tie { to })], words);
            }
        }
    }
    over(tries, pool);
    for (run, steps, words) in found {
        sure(tries, pool, "end opened", None, steps.clone(), vec![words.clone()]);
        // Where the vent is too small for the code, or the stack for its method, the same with larger pipe.
        for (more, said) in larger::to_the_top(tries, run) {
            let steps = more.into_iter().chain(steps.clone()).collect();
            sure(tries, pool, "end opened, larger pipe", None, steps, vec![said, words.clone()]);
        }
    }
}

/// Upright ends taken up to a lawful height, then level round what stands above them: into another vent, or into another bay and
/// through the roof there.
fn over(tries: &Tries<'_>, pool: &mut Pool) {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let placed = rough_in.placed(bench.job.cut_on);
    let rims = tries.needs.iter().filter_map(|n| rim(bench.job, rough_in, bench.catalog, n.fixture));
    let rim_z = rims.map(|r| r.z).fold(f64::NEG_INFINITY, f64::max);
    let least =
        bench.profile.figure("vent-flat-over-rim").value.max(bench.profile.figure("vent-tie-over-rim").value);
    for run in rough_in.runs.iter().filter(|r| is_shut(bench, r)) {
        let Some((part, port)) = open_port(rough_in, run) else { continue };
        let material = rough_in.part(part).material;
        let end = Takeoff {
            steps: Vec::new(),
            words: format!("take {} on", run.label),
            branch: vent(run.label.as_str(), "$0", "up", Vec::new(), material),
            size: rough_in.part(part).ports()[port].size,
            foot: placed.origin(part),
            tip: placed.stop(rough_in, part, port),
            axis: placed.axis(rough_in, part, port),
            mends: BTreeMap::new(),
        };
        if end.axis.z < 0.9 {
            continue;
        }
        let ties = rough_in.legs.iter().filter(|l| l.run != run.id);
        let ties = ties.filter_map(|l| tied(bench, rough_in, &end, l.id, rim_z, least));
        for way in over_and_up(bench, rough_in, &end, rim_z + least).into_iter().chain(ties) {
            // The run itself goes on; there is no new one.
            let on = |step: &Step| match step {
                Step::Branch(branch) => {
                    let fits = branch.along.iter().cloned();
                    let put = |fit| Step::Append { run: run.label.clone(), fit: Box::new(fit) };
                    let end = Step::End { run: run.label.clone(), end: Box::new(branch.end.clone()) };
                    fits.map(put).chain([end]).collect()
                }
                other => vec![other.clone()],
            };
            sure(tries, pool, way.kind, None, way.steps.iter().flat_map(on).collect(), way.words);
        }
    }
}

/// Puts a candidate in whose traps are known by placing it.
pub(super) fn sure(
    tries: &Tries<'_>,
    pool: &mut Pool,
    kind: &'static str,
    need: Option<usize>,
    steps: Vec<Step>,
    words: Vec<String>,
) {
    match tries.looked_at(&steps, need) {
        Ok((_, mends)) => pool.put(Candidate {
            kind,
            need,
            steps,
            words,
            mends,
            host: None,
            pipe_in: 0.0,
            size: NominalSize::ONE_AND_A_HALF,
            riser: None,
        }),
        Err(why) => pool.refusals.push(Refusal { kind, need, words, why }),
    }
}

fn is_shut(bench: &Bench<'_>, run: &Run) -> bool {
    let end = match run.kind {
        RunKind::Stack { index, .. } => &bench.job.stacks[index].end,
        RunKind::Branch { index, .. } => &bench.job.branches[index].end,
    };
    matches!(end, End::Capped {} | End::Open {})
}

fn open_port(rough_in: &RoughIn, run: &Run) -> Option<(truefall_model::place::PartId, usize)> {
    if run.last_piece.is_some() {
        return None;
    }
    let Some((_, last)) = run.fits.last() else {
        let RunKind::Branch { from, .. } = run.kind else { return None };
        return Some(from);
    };
    let pattern = rough_in.part(*last).pattern()?;
    let used =
        |port: usize| rough_in.joints.iter().any(|j| j.low == (*last, port) || j.high == (*last, port));
    pattern.leave.into_iter().chain(0..pattern.ports.len()).find(|p| !used(*p)).map(|p| (*last, p))
}
