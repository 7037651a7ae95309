//! Reducing fitting against fitting and bushing: the same two sizes in one piece or in two.

use super::swap::{Spot, Swap, SwapKind, known};
use crate::site::Site;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::Fit;
use truefall_model::label::Label;
use truefall_model::place::{PartId, RunKind, pointing};
use truefall_model::units::NominalSize;

/// The places in a name of run, run, branch that a bushing can stand for, with the port each is the size of.
const PLACES: [(usize, &str); 2] = [(1, "up"), (2, "branch")];

/// Swaps of a reducing fitting for one of full size with a bushing.
pub(super) fn unfolded(site: &Site<'_>, spot: &Spot<'_>) -> Vec<Swap> {
    PLACES.iter().filter_map(|(place, port)| unfold(site, spot, *place, port)).collect()
}

/// Swaps of a fitting and the bushing in it for a reducing one.
pub(super) fn folded(site: &Site<'_>, spot: &Spot<'_>) -> Vec<Swap> {
    PLACES.iter().filter_map(|(place, port)| fold(site, spot, *place, port)).collect()
}

fn unfold(site: &Site<'_>, spot: &Spot<'_>, place: usize, port: &str) -> Option<Swap> {
    let (large, small) = (spot.name.size(0), sized(spot, place)?);
    if small == large {
        return None;
    }
    let name = renamed(site, spot, place, large)?;
    let bushing = known(site, FittingName::of(Family::Bushing, &[large, small])?)?;
    let (run, at, _) = beyond(site, spot, port)?;
    let item = fresh(site, &bushing)?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::WithBushing(Label::new(port)),
        words: format!("{name} and {bushing} instead of {}", spot.name),
        edits: vec![
            with_clock(site, spot, spot.replaced(&name)),
            Edit::Fit { run, change: Change::Insert { at, item: Box::new(item) } },
        ],
    })
}

fn fold(site: &Site<'_>, spot: &Spot<'_>, place: usize, port: &str) -> Option<Swap> {
    sized(spot, place)?;
    let (run, at, part) = beyond(site, spot, port)?;
    let fit = site.job.fits(&run)?.get(at)?;
    let bushing = FittingName::parse(fit.fit.as_str()).filter(|name| name.family() == Family::Bushing)?;
    // What stands in the port itself, not beyond a piece of pipe.
    if site.rough_in.part(part).label != fit.name {
        return None;
    }
    let name = renamed(site, spot, place, bushing.size(1))?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::WithoutBushing(fit.name.clone()),
        words: format!("{name} instead of {} and {bushing}", spot.name),
        edits: vec![spot.replaced(&name), Edit::Fit { run, change: Change::Remove { at } }],
    })
}

/// The tee kept pointing where it points: its clock may come from the first fitting of its branch, which is now a bushing.
fn with_clock(site: &Site<'_>, spot: &Spot<'_>, edit: Edit) -> Edit {
    let part = site.rough_in.parts.iter().find(|p| p.label == spot.fit.name);
    let clock = part.and_then(|p| pointing(&site.rough_in, site.built(), p.id)).map(|(clock, _)| clock);
    match edit {
        Edit::Fit { run, change: Change::Replace { at, mut item } } => {
            item.clock = item.clock.or(clock);
            Edit::Fit { run, change: Change::Replace { at, item } }
        }
        other => other,
    }
}

/// The size at a place of the name; none where the family has no such place.
fn sized(spot: &Spot<'_>, place: usize) -> Option<NominalSize> {
    (spot.name.family().sizes() == 3).then(|| spot.name.size(place))
}

fn renamed(site: &Site<'_>, spot: &Spot<'_>, place: usize, size: NominalSize) -> Option<FittingName> {
    let mut sizes: Vec<NominalSize> = (0..3).map(|at| spot.name.size(at)).collect();
    sizes[place] = size;
    known(site, FittingName::of(spot.name.family(), &sizes)?)
}

/// The run and the place in its list of what goes on from a port, and the part that is joined to it.
fn beyond(site: &Site<'_>, spot: &Spot<'_>, port: &str) -> Option<(Label, usize, PartId)> {
    let rough_in = &site.rough_in;
    let part = rough_in.parts.iter().find(|p| p.label == spot.fit.name && p.pattern().is_some())?;
    let index = part.pattern()?.port(port).ok()?;
    let joint = rough_in.joints.iter().find(|j| !j.closing && j.low == (part.id, index))?;
    let run = rough_in.run(rough_in.part(joint.high.0).run);
    let at = match run.kind {
        RunKind::Branch { from, .. } if from == (part.id, index) => 0,
        _ if run.label == spot.run => spot.at + 1,
        _ => return None,
    };
    Some((run.label.clone(), at, joint.high.0))
}

/// A bushing under a name that nothing in the job has.
fn fresh(site: &Site<'_>, bushing: &FittingName) -> Option<Fit> {
    let taken = |name: &str| site.rough_in.parts.iter().any(|p| p.label.as_str() == name);
    let name = (1..).map(|n| format!("BU{n}")).find(|name| !taken(name))?;
    Some(Fit::plain(bushing.to_string(), name))
}
