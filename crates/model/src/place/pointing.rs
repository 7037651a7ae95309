//! Where a placed fitting's branch, or the way it turns, points: as a clock, and at which wall.

use super::{PartId, Placed, RoughIn, clock_axis, clock_of};
use crate::job::clock::Clock;
use crate::label::Label;

/// Two axes closer than this are one line: a coupling has no clock. Far below the smallest bend, 1/16 (22-1/2 degrees),
/// and above the pitch built into a tee (1.2 degrees).
const ONE_LINE_DEGREES: f64 = 5.0;

/// Straighter up or down than this, a hand of the clock points at no wall.
const LEVEL_ENOUGH: f64 = 0.5;

/// The clock of a fitting on the joint towards the base, and the wall it points to; none for what has no clock.
pub fn pointing(rough_in: &RoughIn, placed: &Placed, part: PartId) -> Option<(Clock, Option<Label>)> {
    let pattern = rough_in.part(part).pattern()?;
    let network = &rough_in.network;
    let enter = network.down[part.0 as usize].map(|j| rough_in.joint(j))?.high.1;
    let out = pattern.ports[enter].axis;
    let one_line = ONE_LINE_DEGREES.to_radians().sin();
    if pattern.ports.iter().all(|p| p.axis.cross(&out).norm() < one_line) {
        return None;
    }
    let run = rough_in.part(part).run;
    let onward = network.above(part).find(|(_, above)| rough_in.part(*above).run == run);
    let leave = onward.map(|(joint, _)| rough_in.joint(joint).low.1);
    let turn = placed.world_from_part[part.0 as usize].rotation;
    let hand = turn * clock_axis(pattern, enter, leave);
    let clock = clock_of(-(turn * out), hand);
    let wall = (hand.xy().norm() > LEVEL_ENOUGH)
        .then(|| rough_in.framed.wall_facing(placed.origin(part), hand.xy()).map(|w| w.label.clone()))
        .flatten();
    Some((clock, wall))
}
