//! What stands at one end of a piece: the fitting, how far the pipe goes into it, where it points and the match mark.

use truefall_model::job::clock::Clock;
use truefall_model::label::Label;
use truefall_model::place::{PartId, PartKind, Placed, RoughIn, pointing};
use truefall_model::units::Length;

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
