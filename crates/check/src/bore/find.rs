//! All bores and wood clashes of one placement.

use super::drill::Drill;
use super::hole::{Bore, WoodClash};
use super::occupant::Occupants;
use super::passage::{MemberPassages, in_member};
use super::plies::Plies;
use nalgebra::{UnitQuaternion, Vector3};
use truefall_model::framing::member::{Member, MemberKind};
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
    for member in members {
        let near = occupants.broad().near(&Body::Cuboid { pose: member.pose, half: member.half }, 0.0);
        if near.is_empty() {
            continue;
        }
        let mut here = either_way(placement, member, occupants, &near, drill);
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

/// The bodies in one member. A post or brace is bored from whichever side the pipe comes: where its thickness is no way
/// through, its depth is tried.
fn either_way(
    placement: Placement,
    member: &Member,
    occupants: &Occupants,
    near: &[usize],
    drill: &Drill<'_>,
) -> MemberPassages {
    let of = |member: &Member| in_member(placement, member, occupants, near, &|passage| drill.hole(passage));
    let here = of(member);
    if here.clashes.is_empty() || !matches!(member.kind, MemberKind::Post | MemberKind::Brace) {
        return here;
    }
    let mut turned = member.clone();
    turned.pose.rotation *= UnitQuaternion::from_axis_angle(&Vector3::z_axis(), std::f64::consts::FRAC_PI_2);
    turned.half = Vector3::new(member.half.y, member.half.x, member.half.z);
    let other = of(&turned);
    if other.clashes.len() < here.clashes.len() { other } else { here }
}
