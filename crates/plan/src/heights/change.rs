//! What was solved, as edits of the job.

use super::column::Column;
use super::ladder::Combination;
use super::riser::Riser;
use super::way::Way;
use std::collections::BTreeSet;
use truefall_model::job::Edit;
use truefall_model::job::edit::Change;
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::Fit;
use truefall_model::label::Label;
use truefall_model::place::pointing;
use truefall_model::units::Length;

/// The edits that give a stack its fittings and heights; `heights_z` are those of the stations' centres over the datum.
pub fn edits(site: &Riser<'_>, column: &Column, chosen: &Combination, heights_z: &[f64]) -> Vec<Edit> {
    let mut stack = site.stack().clone();
    let mut names = Names::of(site);
    let mut up: Vec<Fit> = stack.up[..site.kept_below].to_vec();
    let mut branches = Vec::new();
    for (s, (choice, way)) in chosen.steps.iter().enumerate() {
        up.extend(links(column, way, &mut names));
        let choice = &column.stations[s].choices[*choice];
        let old = site.fit(s);
        let mut fit = Fit {
            // The job may call the same pattern by a shorter name.
            fit: if site.pattern(s).name == choice.fit { old.fit.clone() } else { choice.fit.clone() },
            height: None,
            centre: None,
            cut: None,
            level: None,
            ..old.clone()
        };
        if way.pieces.last() == Some(&true) {
            fit.height = Some(height(site, old, heights_z[s]));
        }
        if let Some(clock) = choice.clock {
            fit.clock = Some(clock);
        }
        if let Some(bushing) = &choice.branch_bushing
            && let Some(branch) = site.job.branches.iter().find(|b| b.from.fitting == old.name)
        {
            // What aimed the tee was the first fitting of its branch, which is a bushing now.
            fit.clock =
                fit.clock.or_else(|| pointing(site.rough_in, site.placed, site.part(s)).map(|(c, _)| c));
            let item = Box::new(Fit::plain(bushing, names.fresh()));
            branches.push(Edit::Fit { run: branch.name.clone(), change: Change::Insert { at: 0, item } });
        }
        up.push(fit);
    }
    up.extend(links(column, &chosen.last, &mut names));
    up.extend_from_slice(&stack.up[site.kept_from..]);
    stack.up = up;
    if stack == *site.stack() && branches.is_empty() {
        return Vec::new();
    }
    let mut all = vec![Edit::Stack(Change::Replace { at: site.index, item: Box::new(stack) })];
    all.extend(branches);
    all
}

fn links(column: &Column, way: &Way, names: &mut Names) -> Vec<Fit> {
    way.links
        .iter()
        .map(|l| Fit::plain(&column.connectors[*l].fit, names.next(&column.connectors[*l].fit)))
        .collect()
}

/// A height off the floor and surface it was written off; one that was not written is told off the rough surface of the
/// highest floor below it, or of the lowest.
fn height(site: &Riser<'_>, old: &Fit, z: f64) -> Height {
    let framed = &site.rough_in.framed;
    if let Some(written) = &old.height
        && let Some(at) = framed.height(written)
    {
        let off = Length::inches(written.off.to_inches() + z - at);
        return Height { off: sixteenths(off), ..written.clone() };
    }
    let mut floors: Vec<_> = framed.floors.iter().collect();
    floors.sort_by(|a, b| a.rough_z.total_cmp(&b.rough_z));
    let floor = floors.iter().rev().find(|f| f.rough_z <= z).or(floors.first());
    let (rough, label) = floor.map_or((0.0, Label::new("first")), |f| (f.rough_z, f.label.clone()));
    Height { off: sixteenths(Length::inches(z - rough)), floor: label, surface: Surface::Rough }
}

/// A length that is a sixteenth but for the arithmetic, as that sixteenth.
fn sixteenths(length: Length) -> Length {
    let near = (length.to_inches() * 16.0).round() / 16.0;
    if (near - length.to_inches()).abs() < 1e-6 { Length::inches(near) } else { length }
}

/// Names for what changes the size: those the job has for the same pattern first, then new ones.
struct Names {
    old: Vec<(Label, Label)>,
    taken: BTreeSet<Label>,
}

impl Names {
    fn of(site: &Riser<'_>) -> Self {
        let job = site.job;
        let all = job.stacks.iter().flat_map(|s| &s.up).chain(job.branches.iter().flat_map(|b| &b.along));
        let taken = all.map(|f| f.name.clone()).collect();
        let between = site.kept_below..site.kept_from;
        let old = between
            .filter(|i| !site.stations.contains(i))
            .map(|i| (site.stack().up[i].fit.clone(), site.stack().up[i].name.clone()))
            .collect();
        Self { old, taken }
    }

    fn next(&mut self, fit: &Label) -> Label {
        match self.old.iter().position(|(f, _)| f == fit) {
            Some(at) => self.old.remove(at).1,
            None => self.fresh(),
        }
    }

    fn fresh(&mut self) -> Label {
        let name = (1..).map(|n| Label::new(format!("BU{n}"))).find(|n| !self.taken.contains(n));
        let name = name.expect("there is always a number more");
        self.taken.insert(name.clone());
        name
    }
}
