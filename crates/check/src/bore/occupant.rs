//! The bodies of a placed job by what they are, and who is joined to whom.

use super::hole::Through;
use crate::query::broad::Broad;
use std::collections::BTreeSet;
use truefall_model::place::{Part, PartId, PartKind, Placed, RoughIn};
use truefall_model::solid::Body;
use truefall_model::tolerance::TOUCH;

/// One body of one part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Occupant {
    /// The part.
    pub part: PartId,
    /// What of the part it is.
    pub through: Through,
    /// It was there before the job.
    pub existing: bool,
    /// The space it takes up, in job axes.
    pub body: Body,
}

/// All bodies of a placement, by part, and the joints between parts.
#[derive(Debug, Clone, Default)]
pub struct Occupants {
    /// The bodies.
    pub all: Vec<Occupant>,
    broad: Broad,
    joined: BTreeSet<(PartId, PartId)>,
}

impl Occupants {
    /// Of the parts of a placed job.
    pub fn of(rough_in: &RoughIn, placed: &Placed) -> Self {
        let mut all = Vec::new();
        for part in &rough_in.parts {
            for body in placed.bodies_of(part.id) {
                let through = through(part, placed, body);
                let existing = matches!(part.kind, PartKind::Existing { .. });
                all.push(Occupant { part: part.id, through, existing, body: *body });
            }
        }
        Self::new(all, rough_in.joints.iter().map(|j| (j.low.0, j.high.0)))
    }

    /// Of bodies and of pairs of joined parts.
    pub fn new(all: Vec<Occupant>, joints: impl IntoIterator<Item = (PartId, PartId)>) -> Self {
        let joined = joints.into_iter().flat_map(|(a, b)| [(a, b), (b, a)]).collect();
        let bodies: Vec<Body> = all.iter().map(|o| o.body).collect();
        Self { broad: Broad::new(&bodies), all, joined }
    }

    /// Whether two parts are one or share a joint.
    pub fn are_joined(&self, one: PartId, other: PartId) -> bool {
        one == other || self.joined.contains(&(one, other))
    }

    /// Whether two parts are joined, or both joined to a third: the pipes of one fitting, the hubs at the ends of one
    /// make-up piece. They meet by design.
    pub fn are_neighbours(&self, one: PartId, other: PartId) -> bool {
        self.are_joined(one, other)
            || self.joined_to(one).any(|between| self.joined.contains(&(between, other)))
    }

    fn joined_to(&self, part: PartId) -> impl Iterator<Item = PartId> + '_ {
        self.joined.range((part, PartId(0))..=(part, PartId(u32::MAX))).map(|(_, other)| *other)
    }

    /// Which of the list come near a body.
    pub fn broad(&self) -> &Broad {
        &self.broad
    }

    /// The bodies in the order of the list.
    pub fn bodies(&self) -> Vec<Body> {
        self.all.iter().map(|o| o.body).collect()
    }
}

/// A fitting's body between the stop and the face of one of its ports is its hub there.
fn through(part: &Part, placed: &Placed, body: &Body) -> Through {
    let Some(pattern) = part.pattern() else { return Through::Pipe };
    let world_from_part = &placed.world_from_part[part.id.0 as usize];
    let Body::Cylinder { a, b, .. } = *body else { return Through::Fitting };
    let touch = TOUCH.to_inches();
    let is_hub = pattern.ports.iter().any(|port| {
        let (stop, axis) = (world_from_part * port.stop, world_from_part * port.axis);
        port.socket.to_inches() > touch
            && [a, b].iter().all(|end| {
                let along = (end - stop).dot(&axis);
                (end - stop).cross(&axis).norm() <= touch
                    && (-touch..=port.socket.to_inches() + touch).contains(&along)
            })
    });
    if is_hub { Through::Hub } else { Through::Fitting }
}
