//! Which members lie face to face as plies of one: doubled studs, plates on plates. And in what order uprights stand
//! along a wall.

use std::collections::BTreeMap;
use truefall_model::framing::member::{Member, MemberId, MemberKind, WallId};
use truefall_model::units::Length;

/// A house figure: plies closer than this are face to face; an eighth of an inch is less than any nail gap left by
/// intent (common practice).
const FACE_TO_FACE: Length = Length::inches(0.125);

/// One place along a wall where an upright stands, of one ply or more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The wall.
    pub wall: WallId,
    /// Its plies, in order along the wall; never empty.
    pub plies: Vec<MemberId>,
}

/// The uprights of all walls by place, and the stacks of plates.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plies {
    places: Vec<Place>,
    lead: BTreeMap<MemberId, MemberId>,
}

impl Plies {
    /// Of the members of a house. Uprights are taken together only where they say they are plies of several; plates
    /// wherever they lie on each other.
    pub fn of(members: &[Member]) -> Self {
        let mut plies = Self::uprights(members);
        plies.plates(members);
        plies
    }

    fn plates(&mut self, members: &[Member]) {
        let mut plates: Vec<&Member> = members
            .iter()
            .filter(|m| matches!(m.kind, MemberKind::TopPlate | MemberKind::BottomPlate) && m.wall.is_some())
            .collect();
        plates.sort_by(|a, b| a.centre().z.total_cmp(&b.centre().z).then(a.id.cmp(&b.id)));
        for (i, plate) in plates.iter().enumerate() {
            let lies_on = |under: &&&Member| {
                let off = plate.centre() - under.centre();
                let reach = (plate.length() + under.length()).to_inches() / 2.0;
                let rise = off.z - (plate.thickness() + under.thickness()).to_inches() / 2.0;
                under.wall == plate.wall
                    && under.kind == plate.kind
                    && off.dot(&plate.lengthwise()).abs() < reach
                    && rise.abs() <= FACE_TO_FACE.to_inches()
            };
            if let Some(under) = plates[..i].iter().find(lies_on) {
                self.lead.insert(plate.id, self.lead(under.id));
            }
        }
    }

    fn uprights(members: &[Member]) -> Self {
        let mut uprights: Vec<(WallId, f64, &Member)> = members
            .iter()
            .filter(|m| m.kind.is_upright())
            .filter_map(|m| Some((m.wall?, m.along?.to_inches(), m)))
            .collect();
        uprights.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.id.cmp(&b.2.id)));
        let mut plies = Self::default();
        let mut before: Option<(WallId, f64, &Member)> = None;
        for (wall, along, member) in uprights {
            let beside = before.is_some_and(|(w, at, other)| {
                w == wall
                    && other.plies > 1
                    && member.plies > 1
                    && other.kind == member.kind
                    && plies.places.last().is_some_and(|p| p.plies.len() < member.plies as usize)
                    && (along - at - other.thickness().to_inches()).abs() <= FACE_TO_FACE.to_inches()
            });
            match plies.places.last_mut() {
                Some(place) if beside => {
                    plies.lead.insert(member.id, place.plies[0]);
                    place.plies.push(member.id);
                }
                _ => plies.places.push(Place { wall, plies: vec![member.id] }),
            }
            before = Some((wall, along, member));
        }
        plies
    }

    /// The first ply of what stands together with a member; itself where it stands alone.
    pub fn lead(&self, member: MemberId) -> MemberId {
        self.lead.get(&member).copied().unwrap_or(member)
    }

    /// All places, wall by wall, in order along each.
    pub fn places(&self) -> &[Place] {
        &self.places
    }

    /// The longest row of places in a row, the given member's among them, of which all hold for `of` their first ply.
    pub fn row_around(&self, member: MemberId, of: impl Fn(MemberId) -> bool) -> Vec<MemberId> {
        let lead = self.lead(member);
        let Some(at) = self.places.iter().position(|p| p.plies[0] == lead) else { return vec![lead] };
        let wall = self.places[at].wall;
        let holds = |p: &&Place| p.wall == wall && of(p.plies[0]);
        let mut row: Vec<MemberId> =
            self.places[..at].iter().rev().take_while(holds).map(|p| p.plies[0]).collect();
        row.reverse();
        row.extend(self.places[at..].iter().take_while(holds).map(|p| p.plies[0]));
        row
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Isometry3, Vector3};
    use truefall_model::framing::member::Bearing;
    use truefall_model::label::Label;

    fn stud(id: u32, along: f64, plies: u32) -> Member {
        Member {
            id: MemberId(id),
            label: Label::new(format!("stud {id}")),
            kind: MemberKind::Stud,
            pose: Isometry3::translation(along + 0.75, -1.75, 48.0),
            half: Vector3::new(0.75, 1.75, 46.0),
            wall: Some(WallId(0)),
            floor: None,
            bearing: Bearing::Yes,
            plies,
            along: Some(Length::inches(along)),
            flange: None,
            assumed: false,
        }
    }

    #[test]
    fn doubled_studs_are_one_place_and_their_row_is_counted_by_places() {
        let wall = [
            stud(0, 0.0, 1),
            stud(1, 15.25, 2),
            stud(2, 16.75, 2),
            stud(3, 31.25, 2),
            stud(4, 32.75, 2),
            stud(5, 47.25, 1),
        ];
        let plies = Plies::of(&wall);
        assert_eq!(plies.places().len(), 4);
        assert_eq!(plies.lead(MemberId(2)), MemberId(1));
        assert_eq!(plies.lead(MemberId(5)), MemberId(5));
        let doubled = |m: MemberId| wall[m.0 as usize].plies > 1;
        assert_eq!(plies.row_around(MemberId(4), doubled), [MemberId(1), MemberId(3)]);
    }

    #[test]
    fn plates_on_each_other_are_plies_and_plates_apart_are_not() {
        let plate = |id: u32, kind: MemberKind, z: f64, along: f64| Member {
            kind,
            // x down, z along the wall.
            pose: Isometry3::new(Vector3::new(along, -1.75, z), Vector3::y() * std::f64::consts::FRAC_PI_2),
            half: Vector3::new(0.75, 1.75, 30.0),
            ..stud(id, 0.0, 1)
        };
        let wall = [
            plate(0, MemberKind::BottomPlate, 0.75, 30.0),
            plate(1, MemberKind::TopPlate, 94.875, 30.0),
            plate(2, MemberKind::TopPlate, 96.375, 30.0),
            plate(3, MemberKind::TopPlate, 96.375, 100.0),
        ];
        let plies = Plies::of(&wall);
        let leads: Vec<u32> = (0..4).map(|i| plies.lead(MemberId(i)).0).collect();
        assert_eq!(leads, [0, 1, 1, 3]);
    }

    #[test]
    fn a_stud_that_happens_to_stand_beside_another_is_no_ply() {
        let plies = Plies::of(&[stud(0, 0.0, 1), stud(1, 1.5, 1)]);
        assert_eq!(plies.places().len(), 2);
    }
}
