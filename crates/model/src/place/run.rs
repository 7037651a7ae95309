//! One run outwards: fitting after fitting, each turned into its joint and set at its distance.

use super::build::{Builder, PlacedCorrection};
use super::lean::named;
use super::orient::{clock_axis, hand, plan_turn, pose};
use super::part::{Part, PartId, PartKind, RunId};
use super::target::{STEEPEST_GRADED_RAD, clock_to_heading, roll_to_grade};
use super::trouble::JobFault;
use crate::catalog::material::Material;
use crate::catalog::pattern::PortEnd;
use crate::job::pipes::{End, Fit};
use crate::label::Label;
use crate::units::{Angle, Grade, Length};
use nalgebra::{Point3, Vector2, Vector3};

/// A clock and a waypoint may differ by this much before they contradict each other.
const AGREE_RAD: f64 = 0.035;
/// A waypoint this near, inches, is reached by a leg that goes straight up or down.
const UNDER_IN: f64 = 1.0;

/// Whether a leg goes the way of its waypoint on the plan. A bend in a level run heads there at two clocks, over and under, and
/// which of the two lies nearest is for the last digit to say: the clock that is told then only chooses.
fn heads(leg: Vector3<f64>, waypoint: Vector2<f64>) -> bool {
    let way = leg.xy();
    if way.norm() < AGREE_RAD {
        waypoint.norm() < UNDER_IN
    } else {
        plan_turn(way, waypoint).abs() < AGREE_RAD
    }
}

/// A run about to be placed.
pub(super) struct Start<'a> {
    pub run: RunId,
    pub path: String,
    pub from: (PartId, usize),
    pub fits: &'a [Fit],
    pub end: &'a End,
    pub end_path: String,
    pub material: Material,
    pub grade: Option<Grade>,
    pub corrections: Vec<PlacedCorrection>,
}

impl Builder<'_> {
    /// Places a run's fittings and its end.
    pub(super) fn run(&mut self, start: Start<'_>) {
        for correction in &start.corrections {
            if !start.fits.iter().any(|f| f.name == *named(&correction.what)) {
                let names: Vec<Label> = start.fits.iter().map(|f| f.name.clone()).collect();
                self.unknown(
                    &correction.path,
                    "fitting of this stack called",
                    named(&correction.what),
                    names.iter(),
                );
            }
        }
        let (mut part, mut port) = start.from;
        for (i, fit) in start.fits.iter().enumerate() {
            match self.fit(&start, i, fit, part, port) {
                Some((next, leave)) => {
                    part = next;
                    match leave {
                        Some(leave) => port = leave,
                        None if i + 1 < start.fits.len() => {
                            self.faults.push(JobFault {
                                path: format!("{}[{i}]", start.path),
                                message: format!(
                                    "nothing can go on beyond {}: it has no port to leave by",
                                    fit.name
                                ),
                                help: None,
                            });
                            return;
                        }
                        None => port = usize::MAX,
                    }
                }
                None => return,
            }
        }
        self.end(&start, part, (port != usize::MAX).then_some(port));
    }

    fn fit(
        &mut self,
        start: &Start<'_>,
        i: usize,
        fit: &Fit,
        part: PartId,
        port: usize,
    ) -> Option<(PartId, Option<usize>)> {
        let path = format!("{}[{i}]", start.path);
        let pattern = self.pattern(fit, &path)?;
        let enter = self.port_named(&pattern, fit.enter.as_ref(), pattern.enter, &format!("{path}.enter"))?;
        let leave = match &fit.leave {
            Some(name) => Some(self.port_named(&pattern, Some(name), 0, &format!("{path}.leave"))?),
            None => pattern.leave.filter(|l| *l != enter).or_else(|| {
                let others: Vec<usize> = (0..pattern.ports.len()).filter(|p| *p != enter).collect();
                // A tee entered by its branch still runs on through its usual way out or its one other way.
                pattern.leave.is_some().then(|| others.first().copied()).flatten()
            }),
        };
        let tip = self.tip(part, port);
        let entered = &pattern.ports[enter];
        self.ends_meet(&tip, entered.end, entered.size, &fit.name, &path)?;

        let origin = self.world[part.0 as usize] * Point3::origin();
        let waypoint = match &fit.to {
            Some(spot) => Some(self.plan_point(&spot.0, &format!("{path}.to"))?),
            None => None,
        };
        let heading =
            waypoint.map(|w| Vector2::new(w.x - origin.x, w.y - origin.y)).filter(|h| h.norm() > 0.25);
        let target = fit.grade.or(start.grade);
        let begun = self.begin(tip, target, heading, start, fit);
        let axis = begun.aimed.axis;
        // The distance does not depend on the clock: the entered port's stop lies on its own axis.
        let direct = entered.end == PortEnd::Spigot || tip.end == PortEnd::Spigot;
        let reach = (pattern.ports[enter].stop.coords.dot(&entered.axis)).abs();
        let at_zero = tip.point + axis * reach;
        let swings = pattern.weir.is_some();
        let least = tip.socket + entered.socket;
        let cut = if direct {
            self.no_length(fit, &path)?;
            Length::ZERO
        } else {
            self.length(start, i, fit, &pattern, origin, at_zero, axis, least, waypoint, swings, &path)?
        };
        let centre = at_zero + axis * cut.to_inches();
        let stop = tip.point + axis * cut.to_inches();

        let clock_axis = clock_axis(&pattern, enter, leave);
        let steered = self.steered(&pattern, enter, leave);
        let (next_heading, next_grade) = self.asked_of(start, i, fit, &pattern, enter, leave, centre);
        let leaves =
            |clock: f64| pose(&pattern, enter, clock_axis, stop, axis, clock) * pattern.ports[steered].axis;
        let mut clock = match (&fit.clock, next_heading) {
            (Some(clock), heading) => {
                let mut stated = clock.angle().to_radians();
                if let Some(h) = heading {
                    let by_way = clock_to_heading(axis, h, leaves);
                    let off = (by_way - stated).sin().atan2((by_way - stated).cos()).abs();
                    if off > AGREE_RAD && !heads(leaves(stated), h) {
                        self.faults.push(JobFault {
                            path: format!("{path}.clock"),
                            message: format!(
                                "{} is given clock {clock}, but its waypoint lies at {}; leave one of them out",
                                fit.name,
                                crate::job::clock::Clock::at(Angle::radians(by_way))
                            ),
                            help: None,
                        });
                        // One fault is enough: what comes after goes the way of the points.
                        stated = by_way;
                    }
                }
                stated
            }
            (None, Some(h)) => clock_to_heading(axis, h, leaves),
            (None, None) => 0.0,
        };
        if axis.z.abs() < STEEPEST_GRADED_RAD.sin()
            && let Some(grade) = next_grade
        {
            clock = roll_to_grade(clock, grade.to_per_foot() / 12.0, leaves);
        }
        let mut pattern = pattern;
        if swings {
            let world = pose(&pattern, enter, clock_axis, stop, axis, clock);
            pattern = self.swing(start, fit, pattern, world, &path)?;
        }
        let world = pose(&pattern, enter, clock_axis, stop, axis, clock);
        debug_assert!(
            (hand(axis, clock) - world * clock_axis).norm() < 1e-6,
            "the clock axis points at the clock"
        );
        self.check_corner(start, i, &pattern, enter, leave, world, next_heading);

        let plugs = self.plugs(&pattern, fit, enter, leave, &path);
        let material = if pattern.materials.contains(&start.material) {
            start.material
        } else {
            pattern.materials.first().copied().unwrap_or(start.material)
        };
        let id = self.finish(
            start.run,
            begun,
            (!direct).then_some((start.material, cut, least)),
            Part {
                id: PartId(0),
                label: fit.name.clone(),
                run: start.run,
                material,
                kind: PartKind::Fitting { pattern: Box::new(pattern), plugs: plugs.clone() },
            },
            enter,
            world,
            &path,
        )?;
        self.taken.extend(plugs.into_iter().chain(leave).map(|p| (id, p)));
        self.fittings.insert(fit.name.clone(), id);
        Some((id, leave))
    }

    fn no_length(&mut self, fit: &Fit, path: &str) -> Option<()> {
        let given = fit.height.is_some() as u8
            + fit.level.is_some() as u8
            + fit.centre.is_some() as u8
            + fit.cut.is_some() as u8;
        if given > 0 {
            self.faults.push(JobFault {
                path: path.into(),
                message: format!(
                    "{} goes straight on the end before it, without a piece; leave out height, level, centre and cut",
                    fit.name
                ),
                help: None,
            });
            return None;
        }
        Some(())
    }
}
