//! A common vent at one level: a trap that joins a vertical below another's is moved up to it, to the other side of a double tee.

use super::open_end::sure;
use super::pool::Pool;
use super::room::said;
use super::step::Step;
use super::tries::Tries;
use truefall_model::catalog::family::Family;
use truefall_model::job::pipes::{Branch, PortName};
use truefall_model::label::Label;
use truefall_model::place::{PartId, RoughIn, RunKind};

/// An arm is moved up or down no further than this: past it no outlet of its fixture would meet it.
const APART_IN: f64 = 24.0;

/// For every need: the sanitary tees of the vertical it joins, each made a double one that takes its arm too.
pub(super) fn candidates(tries: &Tries<'_>, pool: &mut Pool) {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let placed = rough_in.placed(bench.job.cut_on);
    for (n, need) in tries.needs.iter().enumerate() {
        let arm = rough_in.run(rough_in.part(need.part).run);
        let RunKind::Branch { from: (own, own_port), .. } = arm.kind else { continue };
        if !is_tee(rough_in, own) {
            continue;
        }
        let run = rough_in.run(rough_in.part(own).run);
        for (_, other) in run.fits.iter().filter(|(_, f)| *f != own && is_tee(rough_in, *f)) {
            let Some(pattern) = rough_in.part(*other).pattern() else { continue };
            let (Ok(branch), Ok(up)) = (pattern.port("branch"), pattern.port("up")) else { continue };
            let arm_size = rough_in.part(own).ports()[own_port].size;
            let joined = |port: usize| rough_in.joints.iter().any(|j| j.low == (*other, port));
            let apart = (placed.origin(*other).z - placed.origin(own).z).abs();
            if pattern.ports[branch].size != arm_size || !joined(branch) || apart > APART_IN {
                continue;
            }
            let (large, small) = (pattern.ports[pattern.enter].size, pattern.ports[up].size);
            let name = format!("{large}x{small}x{arm_size}x{arm_size} double sanitary tee");
            let Ok(double) = bench.catalog.pattern(&name) else { continue };
            let fits = bench.job.fits(&run.label).unwrap_or_default();
            let label = &rough_in.part(*other).label;
            let Some(mut fit) = fits.iter().find(|f| f.name == *label).cloned() else { continue };
            fit.fit = double.name.clone();
            let own_label = &rough_in.part(own).label;
            let port = PortName { fitting: label.clone(), port: Some(Label::new("opposite")) };
            let words = vec![
                format!(
                    "put a {} in the place of the tee {label} of {} at {}",
                    double.name,
                    run.label,
                    said(rough_in, placed.origin(*other).z)
                ),
                format!("take out {own_label} and bring {} into the other side of {label}", arm.label),
            ];
            // The arm that is there says no port where the tee had but one.
            let first = |b: &&Branch| b.from.fitting == *label && b.from.port.is_none();
            let there = bench.job.branches.iter().filter(first).map(|b| Step::From {
                run: b.name.clone(),
                port: PortName { fitting: label.clone(), port: Some(Label::new("branch")) },
            });
            let mut steps: Vec<Step> = there.collect();
            steps.extend([
                Step::Replace { run: run.label.clone(), old: label.clone(), fit: Box::new(fit) },
                Step::From { run: arm.label.clone(), port },
                Step::Remove { run: run.label.clone(), old: own_label.clone() },
            ]);
            sure(tries, pool, "double tee", Some(n), steps, words);
        }
    }
}

fn is_tee(rough_in: &RoughIn, part: PartId) -> bool {
    rough_in.part(part).pattern().is_some_and(|p| p.family == Family::SanitaryTee)
}
