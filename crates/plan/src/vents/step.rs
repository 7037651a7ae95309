//! Steps of a vent: what is put in where, still without names, and how they become edits of one job.
//!
//! A step names the fittings that stand already and numbers its own `$1`, `$2`. Made into edits, each number gets a name
//! the job has not yet; so steps of several vents can be put into one job, one after the other.

use std::collections::{BTreeMap, BTreeSet};
use truefall_model::framing::provided::Provided;
use truefall_model::job::Job;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::{Branch, End, Fit, PortName};
use truefall_model::label::Label;
use truefall_model::units::Length;

/// One step of a vent.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Step {
    /// A fitting put into a leg that stands.
    Insert {
        /// The stack or branch.
        run: Label,
        /// The fitting of that run below the leg; none where the run starts with it.
        after: Option<Label>,
        /// From the centre below to the new centre, along the leg.
        along: Length,
        /// The fitting.
        fit: Box<Fit>,
        /// Centre to centre of the whole leg, where a fitting stands at its upper end.
        whole: Option<Length>,
    },
    /// A fitting in the place of another, with its height and its way.
    Replace {
        /// The stack or branch.
        run: Label,
        /// The fitting that goes.
        old: Label,
        /// The one that comes; it keeps the name.
        fit: Box<Fit>,
    },
    /// A fitting taken out.
    Remove {
        /// The stack or branch.
        run: Label,
        /// The fitting that goes.
        old: Label,
    },
    /// A branch that leaves another port.
    From {
        /// The branch.
        run: Label,
        /// The port it then leaves.
        port: PortName,
    },
    /// Fittings put on at the far end of a run.
    Append {
        /// The stack or branch.
        run: Label,
        /// The fitting.
        fit: Box<Fit>,
    },
    /// What stands at the far end of a run.
    End {
        /// The stack or branch.
        run: Label,
        /// The new end.
        end: Box<End>,
    },
    /// A new run.
    Branch(Box<Branch>),
    /// Something provided.
    Provide(Box<Provided>),
}

/// The steps of one vent, with its place in the pool: by `@place/$number` another vent names what is this one's.
pub(super) type Listed<'s> = (usize, &'s [Step]);

/// Names kept for the numbers of some vents, by place in the pool.
pub(super) type Kept = BTreeMap<usize, BTreeMap<String, Label>>;

/// Edits that put the steps of several vents into a job, and the names that the numbers of each got: those kept for it, else
/// such as the job has not yet.
pub(super) fn edits(
    job: &Job,
    vents: &[Listed<'_>],
    kept: &Kept,
) -> (Vec<Edit>, Vec<BTreeMap<String, Label>>) {
    let mut copy = job.clone();
    let mut edits = Vec::new();
    let mut names: Vec<BTreeMap<String, Label>> = Vec::new();
    let mut put: Vec<(Label, Option<Label>, Length, Label)> = Vec::new();
    for (place, steps) in vents {
        // What the vents before it are called.
        let mut given: BTreeMap<String, Label> = vents
            .iter()
            .zip(&names)
            .flat_map(|((place, _), names)| {
                let own = names.iter().filter(|(number, _)| number.starts_with('$'));
                own.map(move |(number, name)| (format!("@{place}/{number}"), name.clone()))
            })
            .collect();
        given.extend(kept.get(place).cloned().unwrap_or_default());
        for step in *steps {
            for edit in lowered(&mut copy, &mut put, &mut given, step) {
                // An edit that does not fit is refused again when it is tried, with its reason.
                let _ = edit.apply(&mut copy);
                edits.push(edit);
            }
        }
        names.push(given);
    }
    (edits, names)
}

type Put = Vec<(Label, Option<Label>, Length, Label)>;

fn lowered(job: &mut Job, put: &mut Put, given: &mut BTreeMap<String, Label>, step: &Step) -> Vec<Edit> {
    match step {
        Step::Insert { run, after, along, fit, whole } => {
            let (run, after) = (named(job, given, run), after.as_ref().map(|a| named(job, given, a)));
            let mut fit = (**fit).clone();
            fit.name = named(job, given, &fit.name);
            let list = job.fits(&run).unwrap_or_default();
            let from =
                after.as_ref().map_or(0, |a| list.iter().position(|f| f.name == *a).map_or(0, |i| i + 1));
            let here =
                |l: &&Label| put.iter().any(|p| p.0 == run && p.1 == after && p.2 <= *along && p.3 == **l);
            let at = from + list[from..].iter().take_while(|f| here(&&f.name)).count();
            let next = list.get(at).filter(|f| !put.iter().any(|p| p.3 == f.name)).cloned();
            put.push((run.clone(), after, *along, fit.name.clone()));
            let mut edits =
                vec![Edit::Fit { run: run.clone(), change: Change::Insert { at, item: Box::new(fit) } }];
            if let (Some(mut next), Some(whole)) = (next, whole)
                && (next.level.is_some() || next.centre.is_some() || next.cut.is_some())
            {
                (next.level, next.cut) = (None, None);
                next.centre = Some(*whole - *along);
                edits.push(Edit::Fit { run, change: Change::Replace { at: at + 1, item: Box::new(next) } });
            }
            edits
        }
        Step::Replace { run, old, fit } => {
            let at = job.fits(run).unwrap_or_default().iter().position(|f| f.name == *old);
            let item = fit.clone();
            at.map(|at| Edit::Fit { run: run.clone(), change: Change::Replace { at, item } })
                .into_iter()
                .collect()
        }
        Step::Remove { run, old } => {
            let at = job.fits(run).unwrap_or_default().iter().position(|f| f.name == *old);
            at.map(|at| Edit::Fit { run: run.clone(), change: Change::Remove { at } }).into_iter().collect()
        }
        Step::From { run, port } => {
            let Some(at) = job.branches.iter().position(|b| b.name == *run) else { return Vec::new() };
            let mut item = Box::new(job.branches[at].clone());
            item.from = port.clone();
            vec![Edit::Branch(Change::Replace { at, item })]
        }
        Step::Append { run, fit } => {
            let run = &named(job, given, run);
            let mut fit = (**fit).clone();
            fit.name = named(job, given, &fit.name);
            let at = job.fits(run).unwrap_or_default().len();
            vec![Edit::Fit { run: run.clone(), change: Change::Insert { at, item: Box::new(fit) } }]
        }
        Step::End { run, end } => {
            let mut end = (**end).clone();
            name_end(job, given, &mut end);
            vec![Edit::End { run: run.clone(), end: Box::new(end) }]
        }
        Step::Branch(branch) => {
            let mut branch = (**branch).clone();
            branch.name = given.get("$run").cloned().unwrap_or_else(|| free_run(job, &branch.name));
            branch.from.fitting = named(job, given, &branch.from.fitting);
            for fit in &mut branch.along {
                fit.name = named(job, given, &fit.name);
            }
            name_end(job, given, &mut branch.end);
            given.insert("$run".into(), branch.name.clone());
            let at = job.branches.len();
            vec![Edit::Branch(Change::Insert { at, item: Box::new(branch) })]
        }
        Step::Provide(item) => {
            let mut item = (**item).clone();
            match &mut item {
                Provided::Hanger { on, .. } => *on = named(job, given, on),
                Provided::Access { to, .. } => *to = named(job, given, to),
                Provided::Hole { of, .. } => *of = named(job, given, of),
                _ => {}
            }
            if job.provided.contains(&item) {
                return Vec::new();
            }
            let at = job.provided.len();
            vec![Edit::Provided(Change::Insert { at, item: Box::new(item) })]
        }
    }
}

fn name_end(job: &Job, given: &mut BTreeMap<String, Label>, end: &mut End) {
    if let End::Tie { to } = end {
        to.fitting = named(job, given, &to.fitting);
    }
}

/// The name for a number; what is no number is a name already.
fn named(job: &Job, given: &mut BTreeMap<String, Label>, label: &Label) -> Label {
    if label.as_str().starts_with('@') {
        return given.get(label.as_str()).unwrap_or(label).clone();
    }
    if !label.as_str().starts_with('$') {
        return label.clone();
    }
    if let Some(name) = given.get(label.as_str()) {
        return name.clone();
    }
    let taken: BTreeSet<&str> =
        all_fits(job).map(|f| f.name.as_str()).chain(given.values().map(Label::as_str)).collect();
    let name = (1..).map(|n| format!("V{n}")).find(|n| !taken.contains(n.as_str())).unwrap_or_default();
    let name = Label::new(&name);
    given.insert(label.as_str().to_owned(), name.clone());
    name
}

fn free_run(job: &Job, wanted: &Label) -> Label {
    let taken: BTreeSet<&str> = job
        .stacks
        .iter()
        .map(|s| s.name.as_str())
        .chain(job.branches.iter().map(|b| b.name.as_str()))
        .collect();
    let tries = std::iter::once(wanted.as_str().to_owned()).chain((2..).map(|n| format!("{wanted} {n}")));
    let name = tries.into_iter().find(|n| !taken.contains(n.as_str())).unwrap_or_default();
    Label::new(&name)
}

fn all_fits(job: &Job) -> impl Iterator<Item = &Fit> {
    job.stacks.iter().flat_map(|s| &s.up).chain(job.branches.iter().flat_map(|b| &b.along))
}

/// Words with the numbers of fittings and runs replaced by the names they got.
pub(super) fn worded(words: &str, names: &BTreeMap<String, Label>) -> String {
    names.iter().rev().fold(words.to_owned(), |text, (number, name)| text.replace(number, name.as_str()))
}
