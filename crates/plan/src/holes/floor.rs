//! Holes through the subfloor: where they are off two walls, and which joists they lie between.

use super::off_wall::{OffWall, off_walls};
use crate::site::Site;
use nalgebra::Point3;
use truefall_check::bore::Bore;
use truefall_model::framing::member::{FloorId, Member, MemberKind};
use truefall_model::framing::space::FloorSpace;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// A joist beside a hole.
#[derive(Debug, Clone, PartialEq)]
pub struct Neighbour {
    /// The joist.
    pub joist: Label,
    /// From the hole's centre to its near face.
    pub to_face: Length,
    /// From the hole's edge to that face; below zero the bit hits it.
    pub clear: Length,
}

/// The joists on both sides of a hole.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bay {
    /// Towards the first joist of the row.
    pub before: Option<Neighbour>,
    /// Towards the last.
    pub after: Option<Neighbour>,
    /// The joist the hole's centre is over.
    pub over: Option<Label>,
}

/// One hole through a floor.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorHole {
    /// Its number, from 1, floor by floor.
    pub number: usize,
    /// The floor.
    pub floor: Label,
    /// The diameter drilled.
    pub hole: Length,
    /// The stack or branch.
    pub run: Label,
    /// What goes through, such as `3 in pipe`.
    pub passes: String,
    /// Where its axis crosses the middle of the subfloor, job axes.
    pub at: Point3<f64>,
    /// Off two walls of that floor, measured from above.
    pub off: Vec<OffWall>,
    /// The joists below.
    pub bay: Bay,
    /// The floor under it, where there is one: there the same point is found off its own walls.
    pub below: Option<(Label, Vec<OffWall>)>,
    /// How far the same hole is off in the other placement, along x and y; none where it is not there.
    pub other: Option<(Length, Length)>,
}

/// The holes through subfloors, lowest floor first.
pub fn holes(site: &Site<'_>, passes: impl Fn(&Bore) -> Option<String>) -> Vec<FloorHole> {
    let framed = &site.rough_in.framed;
    let mut floors: Vec<&FloorSpace> = framed.floors.iter().collect();
    floors.sort_by(|a, b| a.rough_z.total_cmp(&b.rough_z));
    let mut found = Vec::new();
    for floor in &floors {
        let mut bores: Vec<&Bore> = site
            .facts_of(site.job.cut_on)
            .bores
            .iter()
            .filter(|b| {
                let member = framed.member_of(b.member);
                member.is_some_and(|m| m.kind == MemberKind::Subfloor && m.floor == Some(floor.id))
            })
            .collect();
        bores.sort_by_key(|b| (site.rough_in.part(b.part).run, b.part));
        for bore in bores {
            let Some(passes) = passes(bore) else { continue };
            let below = floors.iter().rev().find(|f| {
                let inside = f.outline.is_none_or(|(low, high)| {
                    (low.x..=high.x).contains(&bore.centre.x) && (low.y..=high.y).contains(&bore.centre.y)
                });
                f.rough_z < floor.rough_z && inside
            });
            found.push(FloorHole {
                number: found.len() + 1,
                floor: floor.label.clone(),
                hole: bore.drilled.hole,
                run: site.rough_in.run(site.rough_in.part(bore.part).run).label.clone(),
                passes,
                at: bore.centre,
                off: off_walls(framed, floor.id, bore.centre.xy()),
                bay: bay(&framed.members, floor.id, bore),
                below: below
                    .map(|f| (f.label.clone(), off_walls(framed, f.id, bore.centre.xy())))
                    .filter(|(_, off)| !off.is_empty()),
                other: other(site, bore),
            });
        }
    }
    found
}

fn bay(members: &[Member], floor: FloorId, bore: &Bore) -> Bay {
    let mut bay = Bay::default();
    let radius = bore.drilled.hole.to_inches() / 2.0;
    for joist in members.iter().filter(|m| m.kind.is_joist() && m.floor == Some(floor)) {
        let off = bore.centre - joist.centre();
        if off.dot(&joist.lengthwise()).abs() > joist.half.z {
            continue;
        }
        // Joists are measured across from the row's first: that way is +x or +y.
        let across = joist.across().into_inner();
        let way = if across.x + across.y < 0.0 { -across } else { across };
        let past = off.dot(&way);
        let to_face = past.abs() - joist.half.x;
        if to_face < 0.0 {
            bay.over = Some(joist.label.clone());
            continue;
        }
        let side = if past > 0.0 { &mut bay.before } else { &mut bay.after };
        if side.as_ref().is_none_or(|n| to_face < n.to_face.to_inches()) {
            *side = Some(Neighbour {
                joist: joist.label.clone(),
                to_face: Length::inches(to_face),
                clear: Length::inches(to_face - radius),
            });
        }
    }
    bay
}

fn other(site: &Site<'_>, bore: &Bore) -> Option<(Length, Length)> {
    let twin = super::member::twin(site, bore)?;
    let by = twin.centre - bore.centre;
    Some((Length::inches(by.x), Length::inches(by.y)))
}
