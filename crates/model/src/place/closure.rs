//! Closure misfit: what is left where a run with both ends fixed comes together.

use super::part::PartId;
use super::rough_in::{Closure, Placed, RoughIn};
use crate::job::pipes::PortName;
use crate::units::{Angle, Length};

/// What is left at each tie in a placement.
pub(super) fn closures(
    rough_in: &RoughIn,
    placed: &Placed,
    ties: &[(PartId, PortName, PartId, usize)],
) -> Vec<Closure> {
    ties.iter()
        .map(|(piece, name, target, port)| {
            let at = placed.stop(rough_in, *piece, 1);
            let axis = placed.axis(rough_in, *piece, 1);
            let goal = placed.stop(rough_in, *target, *port);
            let goal_axis = placed.axis(rough_in, *target, *port);
            Closure {
                run: rough_in.part(*piece).run,
                part: *piece,
                to: name.clone(),
                gap: Length::inches((at - goal).norm()),
                angle: Angle::radians(axis.angle(&-goal_axis)),
                at,
            }
        })
        .collect()
}
