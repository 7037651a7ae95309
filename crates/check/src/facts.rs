//! What is measured once for a placement and read by many rules.

use crate::bore::{Bore, Drill, Occupants, Plies, WoodClash, passages};
use crate::clash::{KeepOutClash, PipeClash, keep_out_clashes, pipe_clashes};
use truefall_model::catalog::Catalog;
use truefall_model::job::Job;
use truefall_model::place::{PartId, Placed, RoughIn};
use truefall_model::tolerance::order;

/// Bores and clashes of one placement; all lists in a fixed order.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    /// Holes and notches, by member, then along it.
    pub bores: Vec<Bore>,
    /// Parts in wood that no hole or notch lets through, by member, then by part.
    pub wood_clashes: Vec<WoodClash>,
    /// Parts in each other, by part.
    pub pipe_clashes: Vec<PipeClash>,
    /// Parts in keep-outs, by keep-out, then by part.
    pub keep_out_clashes: Vec<KeepOutClash>,
    /// Which uprights are plies of one.
    pub plies: Plies,
    /// The bodies all of this was measured on.
    pub occupants: Occupants,
}

impl Facts {
    /// Measures one placement of a job.
    pub fn of(job: &Job, rough_in: &RoughIn, catalog: &Catalog, placed: &Placed) -> Self {
        let occupants = Occupants::of(rough_in, placed);
        let members = &rough_in.framed.members;
        let plies = Plies::of(members);
        let drill = Drill { job, rough_in, catalog };
        let found = passages(placed.placement, members, &plies, &occupants, &drill);
        Self {
            bores: found.bores,
            wood_clashes: found.clashes,
            pipe_clashes: pipe_clashes(&occupants),
            keep_out_clashes: keep_out_clashes(&occupants, &rough_in.framed.keep_outs),
            plies,
            occupants,
        }
    }

    /// The bores a part has a share in.
    pub fn bores_of(&self, part: PartId) -> impl Iterator<Item = &Bore> {
        self.bores.iter().filter(move |b| b.parts.contains(&part))
    }

    /// Bores told once: of one passage through several plies, the one that takes the most of the depth.
    pub fn passages(&self) -> Vec<&Bore> {
        let mut kept: Vec<&Bore> = Vec::new();
        for bore in &self.bores {
            let same = |k: &&mut &Bore| k.lead == bore.lead && k.parts.iter().any(|p| bore.parts.contains(p));
            match kept.iter_mut().find(same) {
                None => kept.push(bore),
                Some(k) if takes_more(bore, k) => *k = bore,
                Some(_) => {}
            }
        }
        kept
    }
}

/// Whether a bore takes more of the depth than another, or as much and leaves less at its worse edge. The arithmetic alone
/// decides nothing, so that which ply is named does not depend on where the house stands.
fn takes_more(one: &Bore, other: &Bore) -> bool {
    let taken = |bore: &Bore| bore.cut.taken().to_inches();
    let left = |bore: &Bore| bore.cut.least().to_inches();
    order(taken(one), taken(other)).then(order(left(other), left(one))).is_gt()
}
