//! All bores and wood clashes of one placement.

use super::drill::Drill;
use super::hole::{Bore, WoodClash};
use super::occupant::Occupants;
use super::passage::in_member;
use super::plies::Plies;
use crate::query::broad::Broad;
use truefall_model::framing::member::Member;
use truefall_model::job::Placement;
use truefall_model::solid::Body;

/// The bores and wood clashes of one placement, by member, then by place along it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Passages {
    /// Holes and notches.
    pub bores: Vec<Bore>,
    /// What no hole or notch makes.
    pub clashes: Vec<WoodClash>,
}

/// Holds all bodies against all members.
pub fn passages(
    placement: Placement,
    members: &[Member],
    plies: &Plies,
    occupants: &Occupants,
    drill: &Drill<'_>,
) -> Passages {
    let mut found = Passages::default();
    let broad = Broad::new(&occupants.bodies());
    for member in members {
        let near = broad.near(&Body::Cuboid { pose: member.pose, half: member.half }, 0.0);
        if near.is_empty() {
            continue;
        }
        let mut here = in_member(placement, member, occupants, &near, &|passage| drill.hole(passage));
        here.bores
            .sort_by(|a, b| a.along.to_inches().total_cmp(&b.along.to_inches()).then(a.part.cmp(&b.part)));
        here.clashes.sort_by_key(|c| c.part);
        found.bores.extend(here.bores);
        found.clashes.extend(here.clashes);
    }
    for bore in &mut found.bores {
        bore.lead = plies.lead(bore.member);
    }
    found
}
