//! Cures that change a fitting the user listed: another pattern in its place, another height, another distance.

use super::{Cure, sixteenths};
use crate::bore::telling::Told;
use crate::ctx::Ctx;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::Fit;
use truefall_model::label::Label;
use truefall_model::place::PartId;
use truefall_model::units::Length;

/// A fitting as the user listed it.
#[derive(Debug, Clone, Copy)]
pub struct Listed<'a> {
    /// The stack or branch.
    pub run: &'a Label,
    /// Its place in the list.
    pub at: usize,
    /// What was written.
    pub fit: &'a Fit,
}

impl<'a> Listed<'a> {
    /// A fitting by its part; none for pieces and existing work.
    pub fn of(ctx: &Ctx<'a>, part: PartId) -> Option<Self> {
        ctx.rough_in.part(part).pattern()?;
        let (run, name) = (ctx.run_of(part), ctx.label(part));
        let fits = ctx.job.fits(run)?;
        let at = fits.iter().position(|fit| fit.name == *name)?;
        Some(Self { run, at, fit: &fits[at] })
    }

    /// Another in its place.
    pub fn replaced(&self, fit: Fit) -> Edit {
        Edit::Fit { run: self.run.clone(), change: Change::Replace { at: self.at, item: Box::new(fit) } }
    }
}

/// Other patterns of the same sizes in the place of a fitting, those that the catalog has.
pub fn swaps(ctx: &Ctx<'_>, part: PartId, families: &[Family]) -> Vec<Cure> {
    let (Some(listed), Some(pattern)) = (Listed::of(ctx, part), ctx.rough_in.part(part).pattern()) else {
        return Vec::new();
    };
    let Some(own) = FittingName::parse(pattern.name.as_str()) else { return Vec::new() };
    let other = |family: &Family| {
        let name = FittingName::of(*family, own.sizes())?.to_string();
        ctx.catalog.pattern(&name).ok()?;
        let fit = Fit { fit: Label::new(&name), ..listed.fit.clone() };
        let words = format!("put a {name} in the place of {} ({})", listed.fit.name, pattern.name);
        Some(Cure { words, edits: vec![listed.replaced(fit)] })
    };
    families.iter().filter_map(other).collect()
}

/// A hole moved to the middle of its member's depth by the fitting that its pipe hangs on: in a joist by its height, in a
/// stud by how far a bend before it stands off. Which way a bend has to go is tried.
pub fn bore_to_the_middle(told: &Told<'_>, upright: bool) -> Vec<Cure> {
    let (ctx, cut) = (told.ctx, told.bore.cut);
    let by = sixteenths((cut.high - cut.low).to_inches() / 2.0);
    let below = std::iter::successors(Some(told.bore.part), |part| ctx.rough_in.network.below(*part));
    let listed = below.filter_map(|part| Listed::of(ctx, part));
    let to = format!("which moves the hole to the middle of {}", told.member.label);
    if upright {
        let raised = listed.into_iter().find_map(|one| {
            let mut fit = one.fit.clone();
            let height = fit.height.as_mut()?;
            height.off += by;
            let way = if by.to_inches() < 0.0 { "lower" } else { "higher" };
            let words = format!("set {} {} {way}, {to}", one.fit.name, by.abs());
            Some(Cure { words, edits: vec![one.replaced(fit)] })
        });
        return raised.into_iter().collect();
    }
    let mut cures = Vec::new();
    for one in listed.take(3) {
        for by in [by, by * -1.0] {
            let mut fit = one.fit.clone();
            let Some(off) = fit.level.as_mut().or(fit.cut.as_mut()) else { continue };
            *off += by;
            if *off <= Length::ZERO {
                continue;
            }
            let way = if by.to_inches() < 0.0 { "nearer" } else { "farther out" };
            let words = format!("set {} {} {way}, {to}", one.fit.name, by.abs());
            cures.push(Cure { words, edits: vec![one.replaced(fit)] });
        }
    }
    cures
}
