//! What stands at one end of a piece: the fitting, how far the pipe goes into it, where it points and the match mark.

use truefall_model::job::clock::Clock;
use truefall_model::label::Label;
use truefall_model::place::{PartId, PartKind, Placed, RoughIn, clock_axis, clock_of};
use truefall_model::units::Length;

/// Two axes closer than this are one line: a coupling has no clock. Far below the smallest bend, 1/16 (22-1/2 degrees),
/// and above the pitch built into a tee (1.2 degrees).
const ONE_LINE_DEGREES: f64 = 5.0;

/// Straighter up or down than this, a hand of the clock points at no wall.
const LEVEL_ENOUGH: f64 = 0.5;

/// One end of a piece, or one side of a joint made without a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct CutEnd {
    /// The part there.
    pub part: PartId,
    /// Its name in the job.
    pub label: Label,
    /// What it is, such as `3x3x2 sanitary tee`.
    pub what: String,
    /// The port the pipe goes into.
    pub port: Label,
    /// How far the pipe goes in, from the hub's face to its stop; zero where there is no hub.
    pub socket: Length,
    /// From the fitting's centre to that stop.
    pub laying: Length,
    /// Where its branch, or the way it turns, points; none for what has no clock.
    pub clock: Option<Clock>,
    /// The wall it points to.
    pub wall: Option<Label>,
    /// The match mark drawn across this joint at the dry fit, such as `7a`.
    pub mark: String,
}

impl CutEnd {
    /// A side of a joint in one placement.
    pub(super) fn of(
        rough_in: &RoughIn,
        placed: &Placed,
        (part, port): (PartId, usize),
        mark: String,
    ) -> Self {
        let of = rough_in.part(part);
        let what = match &of.kind {
            PartKind::Fitting { pattern, .. } => pattern.name.to_string(),
            PartKind::Existing { size, hub, .. } => {
                format!("existing {size} in {} {}", of.material, if *hub { "hub" } else { "pipe" })
            }
            PartKind::Piece { size, .. } => format!("{size} in {} pipe", of.material),
        };
        let ends = of.ports();
        let clock = pointing(rough_in, placed, part);
        let laying = match &of.kind {
            PartKind::Fitting { pattern, .. } => pattern.ports[port].laying,
            _ => Length::ZERO,
        };
        Self {
            part,
            label: of.label.clone(),
            what,
            port: ends[port].name.clone(),
            socket: ends[port].socket,
            laying,
            clock: clock.as_ref().map(|(clock, _)| *clock),
            wall: clock.and_then(|(_, wall)| wall),
            mark,
        }
    }
}

/// The clock of a fitting on the joint towards the base, and the wall it points to.
pub(crate) fn pointing(rough_in: &RoughIn, placed: &Placed, part: PartId) -> Option<(Clock, Option<Label>)> {
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
