//! The wood a leg passes: which holes it needs there, and whether the code's figures let them be drilled.
//!
//! The same bores and figures as the rules use, for one leg alone. What it lets through is checked again with the whole job;
//! what it stops is told with its numbers.

use super::stop::Stop;
use truefall_check::Profile;
use truefall_check::bore::{Bit, Bore, Drilled, Occupants, Passage, Shape, Through, in_member};
use truefall_check::query::broad::Broad;
use truefall_model::catalog::Catalog;
use truefall_model::catalog::material::Material;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::member::{Member, MemberId, MemberKind};
use truefall_model::job::Placement;
use truefall_model::solid::Body;
use truefall_model::tolerance::{at_least, at_most};
use truefall_model::units::{Length, NominalSize};

/// A hole a leg needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// The member.
    pub member: MemberId,
    /// Its diameter.
    pub hole: Length,
    /// How much of its limit it takes; 1 just at it.
    pub used: f64,
    /// How many faces need a plate.
    pub plates: u32,
}

/// The members of a house, ready to be asked.
#[derive(Debug)]
pub struct Wood<'a> {
    framed: &'a Framed,
    profile: &'a Profile,
    catalog: &'a Catalog,
    broad: Broad,
}

impl<'a> Wood<'a> {
    /// Of a framed house.
    pub fn new(framed: &'a Framed, profile: &'a Profile, catalog: &'a Catalog) -> Self {
        let boxes: Vec<Body> =
            framed.members.iter().map(|m| Body::Cuboid { pose: m.pose, half: m.half }).collect();
        Self { framed, profile, catalog, broad: Broad::new(&boxes) }
    }

    /// The holes that bodies of a pipe's size need, and what stops them.
    pub fn holes(&self, bodies: &Occupants, material: Material, size: NominalSize) -> (Vec<Hole>, Vec<Stop>) {
        let mut near: Vec<usize> = bodies.all.iter().flat_map(|o| self.broad.near(&o.body, 0.0)).collect();
        near.sort_unstable();
        near.dedup();
        let all: Vec<usize> = (0..bodies.all.len()).collect();
        let drill = |passage: &Passage<'_>| self.bit(passage, material, size);
        let (mut holes, mut stops) = (Vec::new(), Vec::new());
        for member in near.into_iter().map(|i| &self.framed.members[i]) {
            let found = in_member(Placement::Drawn, member, bodies, &all, &drill);
            for clash in found.clashes {
                stops.push(Stop::InWood {
                    member: member.id,
                    label: member.label.clone(),
                    deep: clash.depth,
                });
            }
            for bore in found.bores {
                match self.judge(member, &bore) {
                    Ok(used) => holes.push(Hole {
                        member: member.id,
                        hole: bore.drilled.hole,
                        used,
                        plates: self.plates(member, &bore),
                    }),
                    Err(stop) => stops.push(stop),
                }
            }
        }
        (holes, stops)
    }

    fn bit(&self, passage: &Passage<'_>, material: Material, size: NominalSize) -> Drilled {
        let customary = self.catalog.bit_for_pipe(material, size).filter(|_| passage.through != Through::Hub);
        let stocked = || self.catalog.stocked_bits().find(|bit| at_least(*bit, passage.outside));
        let (hole, bit) = match customary.map(|hole| (hole, Bit::Customary)) {
            Some(found) => found,
            None => stocked().map_or((passage.outside, Bit::Bare), |hole| (hole, Bit::Stocked)),
        };
        Drilled { hole, bit, refused: None }
    }

    /// How much of its limit a bore takes; what stops it where it is over.
    fn judge(&self, member: &Member, bore: &Bore) -> Result<f64, Stop> {
        let (id, label) = (member.id, member.label.clone());
        let figure = |key: &str| self.profile.figure(key);
        let (most, least) = match member.kind {
            kind if kind.is_upright() && kind != MemberKind::Post => {
                let outside = member.wall.and_then(|w| self.framed.wall_of(w)).is_some_and(|w| w.exterior);
                let share = figure(match (member.bearing.counts() || outside, member.plies > 1) {
                    (false, _) => "stud-bore.non-bearing",
                    (true, true) => "stud-bore.doubled",
                    (true, false) => "stud-bore.bearing",
                });
                (member.depth() * share.value, figure("stud-edge").length())
            }
            MemberKind::Joist | MemberKind::Rim => {
                (member.depth() * figure("joist-bore").value, figure("joist-edge").length())
            }
            MemberKind::Subfloor => return Ok(0.0),
            MemberKind::BottomPlate | MemberKind::TopPlate | MemberKind::Blocking | MemberKind::Sill => {
                return Ok((bore.cut.width / member.depth()).min(1.0));
            }
            _ => return Err(Stop::NeverCut { member: id, label }),
        };
        if !at_most(bore.cut.width, most) {
            return Err(Stop::HoleTooLarge { member: id, label, hole: bore.cut.width, most });
        }
        let left = bore.cut.least();
        if bore.cut.shape != Shape::Hole || !at_least(left, least) {
            return Err(Stop::EdgeTooThin { member: id, label, left, least });
        }
        Ok((bore.cut.width / most).max(least / left))
    }

    /// The faces nearer to the pipe than the code lets a nail reach.
    fn plates(&self, member: &Member, bore: &Bore) -> u32 {
        if member.wall.is_none() {
            return 0;
        }
        let cover = self.profile.figure("shield-cover").length();
        let play = (bore.drilled.hole - bore.outside) / 2.0;
        [bore.cut.low, bore.cut.high].into_iter().filter(|left| !at_least(*left + play, cover)).count() as u32
    }
}
