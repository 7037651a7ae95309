//! The lean of a stack from its survey, and which way its corrected part stands.

use super::build::Builder;
use super::trouble::{JobFault, Trouble};
use crate::job::pipes::{Base, Stack, System};
use crate::job::survey::Correction;
use crate::label::Label;
use crate::survey::{Lean, LineFit, PlumbLine, Reading, fit};
use nalgebra::{Point2, Point3, UnitVector2, Vector3};

impl Builder<'_> {
    /// The lean as surveyed; none where nothing was read or the readings can't be used.
    pub(super) fn surveyed_lean(
        &mut self,
        stack: &Stack,
        index: usize,
        at: Point2<f64>,
    ) -> (Option<Lean>, Vec<LineFit>) {
        if stack.lean.is_empty() {
            let water = matches!(stack.system, Some(System::Cold | System::Hot));
            if !water && !matches!(stack.base, Base::Stub { .. } | Base::IronBranch { .. }) {
                self.troubles.push(Trouble::Unread {
                    stack: stack.name.clone(),
                    measure:
                        "hang a plumb string on two sides of the old pipe and read the gap at three heights"
                            .into(),
                });
            }
            return (None, Vec::new());
        }
        let mut lines = Vec::new();
        for (i, string) in stack.lean.iter().enumerate() {
            let path = format!("stacks[{index}].lean[{i}]");
            let Some(toward) = self.toward_wall(&string.toward, at, &path) else { continue };
            let readings: Vec<Reading> = string
                .gaps
                .iter()
                .map(|g| Reading {
                    height_in: g.up.to_inches(),
                    gap_in: g.gap.to_inches(),
                    error_in: g.error.to_inches(),
                })
                .collect();
            match fit(&readings) {
                Ok(line) => {
                    if line.fit_doubtful() {
                        self.troubles.push(Trouble::CrookedSurvey {
                            stack: stack.name.clone(),
                            string: i,
                            chance: line.p_value().unwrap_or(1.0),
                            worst: line.worst_reading().unwrap_or(0),
                        });
                    }
                    lines.push(PlumbLine { barrel_to_string: toward, fit: line });
                }
                Err(e) => self.faults.push(JobFault { path, message: e.to_string(), help: None }),
            }
        }
        let fits: Vec<LineFit> = lines.iter().map(|l| l.fit.clone()).collect();
        let [one, other] = lines.as_slice() else {
            if lines.len() == stack.lean.len() {
                self.faults.push(JobFault {
                    path: format!("stacks[{index}].lean"),
                    message: format!(
                        "read {} string(s), but a lean is surveyed with two, on two sides",
                        lines.len()
                    ),
                    help: None,
                });
            }
            return (None, fits);
        };
        match Lean::from_plumb_lines([one, other]) {
            Ok(lean) => (Some(lean), fits),
            Err(e) => {
                let path = format!("stacks[{index}].lean");
                self.faults.push(JobFault { path, message: e.to_string(), help: None });
                (None, fits)
            }
        }
    }

    /// Level unit vector from a point towards a named wall, square to it.
    pub(super) fn toward_wall(
        &mut self,
        wall: &Label,
        from: Point2<f64>,
        path: &str,
    ) -> Option<UnitVector2<f64>> {
        let names: Vec<Label> = self.framed.walls.iter().map(|w| w.label.clone()).collect();
        let Some(space) = self.framed.wall(wall) else {
            self.unknown(path, "wall", wall, names.iter());
            return None;
        };
        let out = (from - space.origin).dot(&space.into_room);
        // Seen from the room the wall lies against `into_room`; from behind it, along it.
        let way = if out > -0.5 * space.depth { -space.into_room } else { space.into_room };
        Some(UnitVector2::new_normalize(way))
    }

    /// The axis a corrected stack takes from a joint on.
    pub(super) fn corrected_axis(
        &mut self,
        correction: &Correction,
        joint: Point3<f64>,
        axis: Vector3<f64>,
        path: &str,
    ) -> Option<Vector3<f64>> {
        match correction {
            Correction::Plumb { .. } => Some(Vector3::z()),
            Correction::Brace { at, toward, by, .. } => {
                let z = self.height_z(at, path)?;
                let way = self.toward_wall(toward, Point2::new(joint.x, joint.y), path)?;
                let up = z - joint.z;
                if up < 1.0 || axis.z < 0.1 {
                    self.faults.push(JobFault {
                        path: path.into(),
                        message: format!("the brace at {at} does not stand above the joint it turns"),
                        help: None,
                    });
                    return None;
                }
                let braced = axis * (up / axis.z) + Vector3::new(way.x, way.y, 0.0) * by.to_inches();
                Some(braced.normalize())
            }
        }
    }
}

/// The fitting a correction names.
pub fn named(correction: &Correction) -> &Label {
    match correction {
        Correction::Plumb { from } | Correction::Brace { from, .. } => from,
    }
}
