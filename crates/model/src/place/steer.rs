//! What a fitting's clock is asked to do: where the run goes on, or where the branch that leaves it heads.

use super::build::Builder;
use super::run::Start;
use super::trouble::Trouble;
use crate::catalog::joint::JointKind;
use crate::catalog::pattern::Pattern;
use crate::job::pipes::{Branch, End, Fit};
use crate::job::point::PlanPoint;
use crate::units::{Angle, Grade};
use nalgebra::{Isometry3, Point3, Vector2};

/// Two axes count as one line within this.
const IN_LINE: f64 = 1e-3;

/// A corner may be off by this much before it counts as one that no fitting makes.
const CORNER_RAD: f64 = 0.0262;

impl Builder<'_> {
    /// The port the clock turns: the way out where the run turns, else the branch.
    pub(super) fn steered(&self, pattern: &Pattern, enter: usize, leave: Option<usize>) -> usize {
        let axis = pattern.ports[enter].axis;
        let turns = |p: usize| axis.cross(&pattern.ports[p].axis).norm() > IN_LINE;
        leave
            .filter(|l| turns(*l))
            .or_else(|| (0..pattern.ports.len()).find(|p| *p != enter && turns(*p)))
            .or(leave)
            .unwrap_or(enter)
    }

    /// The heading and grade asked of the steered port: the next waypoint of this run, or the first of the branch.
    #[expect(clippy::too_many_arguments, reason = "the fitting, its ports and where it stands")]
    pub(super) fn asked_of(
        &mut self,
        start: &Start<'_>,
        i: usize,
        fit: &Fit,
        pattern: &Pattern,
        enter: usize,
        leave: Option<usize>,
        centre: Point3<f64>,
    ) -> (Option<Vector2<f64>>, Option<Grade>) {
        let steered = self.steered(pattern, enter, leave);
        if Some(steered) == leave {
            let next = start.fits.get(i + 1);
            let grade = next.and_then(|f| f.grade).or(start.grade);
            return (self.heading_of(next, start.end, &start.end_path, &start.path, i + 1, centre), grade);
        }
        let job = self.job;
        let name = &pattern.ports[steered].name;
        let child = job.branches.iter().enumerate().find(|(_, b): &(usize, &Branch)| {
            b.from.fitting == fit.name && b.from.port.as_ref().is_none_or(|p| p == name)
        });
        let Some((index, branch)) = child else { return (None, None) };
        let first = branch.along.first();
        let grade = first.and_then(|f| f.grade).or(self.branch_grade(index));
        let path = format!("branches[{index}].along");
        let end_path = format!("branches[{index}].end");
        (self.heading_of(first, &branch.end, &end_path, &path, 0, centre), grade)
    }

    fn heading_of(
        &mut self,
        next: Option<&Fit>,
        end: &End,
        end_path: &str,
        path: &str,
        i: usize,
        centre: Point3<f64>,
    ) -> Option<Vector2<f64>> {
        let toward =
            |p: nalgebra::Point2<f64>| Some(p - centre.xy()).filter(|h: &Vector2<f64>| h.norm() > 0.25);
        if let Some(next) = next {
            let to = match (&next.to, end) {
                (Some(spot), _) => self.plan_point(&spot.0, &format!("{path}[{i}].to"))?,
                // A trap goes to its fixture; its swing takes up what lies beside the line.
                (None, End::Fixture { name, .. }) if self.is_trap(next) => {
                    self.plan_point(&PlanPoint::Under { fixture: name.clone() }, end_path)?
                }
                _ => return None,
            };
            return toward(to);
        }
        match end {
            End::Fixture { name, .. } => {
                let fixture = self.job.fixtures.iter().find(|f| f.name == *name && f.kind.through_wall())?;
                let wall = fixture.wall.as_ref().and_then(|w| self.framed.wall(w))?;
                Some(wall.into_room)
            }
            End::Tie { to } => {
                let target = *self.fittings.get(&to.fitting)?;
                let port = self.free_port(to, &format!("{end_path}.to"))?.1;
                let tip = self.tip(target, port);
                toward(tip.point.xy())
            }
            _ => None,
        }
    }

    fn is_trap(&self, fit: &Fit) -> bool {
        self.catalog.pattern(fit.fit.as_str()).is_ok_and(|p| p.swing.is_some())
    }

    /// The grade a branch aims at: as said; 1/4 in per ft for what drains; none for a vent.
    pub(super) fn branch_grade(&self, index: usize) -> Option<Grade> {
        let branch = &self.job.branches[index];
        branch.grade.or_else(|| self.drains(index, 0).then(|| Grade::per_foot(0.25)))
    }

    /// Whether waste reaches a branch: its own fixture, or one on a branch that leaves it.
    fn drains(&self, index: usize, depth: usize) -> bool {
        let branch = &self.job.branches[index];
        if matches!(branch.system, Some(s) if s != crate::job::pipes::System::Drain) {
            return false;
        }
        if matches!(branch.end, End::Fixture { .. }) {
            return true;
        }
        depth < self.job.branches.len()
            && self.job.branches.iter().enumerate().any(|(i, b)| {
                branch.along.iter().any(|f| f.name == b.from.fitting) && self.drains(i, depth + 1)
            })
    }

    /// Tells a corner between two waypoints that the fitting there does not make.
    #[expect(clippy::too_many_arguments, reason = "the fitting, its ports and where it stands")]
    pub(super) fn check_corner(
        &mut self,
        start: &Start<'_>,
        i: usize,
        pattern: &Pattern,
        enter: usize,
        leave: Option<usize>,
        world: Isometry3<f64>,
        wants: Option<Vector2<f64>>,
    ) {
        let fit = &start.fits[i];
        if start.fits.get(i + 1).is_some_and(|next| next.to.is_none() && self.is_trap(next)) {
            return;
        }
        let Some(wants) = wants else { return };
        let steered = self.steered(pattern, enter, leave);
        let out = world * pattern.ports[steered].axis;
        let plan = Vector2::new(out.x, out.y);
        // A fitting that goes up or down has no corner on the plan.
        if plan.norm() < 0.5 {
            return;
        }
        let off = super::orient::plan_turn(plan, wants).abs();
        let seat = self.catalog.seat(JointKind::SolventWeld, pattern.ports[steered].size);
        if off > CORNER_RAD + seat.to_radians() {
            let came = -(world * pattern.ports[enter].axis);
            let came = Vector2::new(came.x, came.y);
            let turn = |to: Vector2<f64>| Angle::radians(super::orient::plan_turn(came, to).abs());
            self.corners.push((fit.name.clone(), turn(wants), turn(plan)));
        }
    }

    /// Corners noted while their parts were not numbered yet, as troubles.
    pub(super) fn tell_corners(&mut self) {
        for (name, needs, makes) in std::mem::take(&mut self.corners) {
            if let Some(part) = self.fittings.get(&name) {
                self.troubles.push(Trouble::Corner { part: *part, needs, makes });
            }
        }
    }
}
