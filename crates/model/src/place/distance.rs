//! How far the next fitting sits: the length of the piece before it, from whichever way the job says it.

use super::build::Builder;
use super::run::Start;
use super::target::golden;
use super::trouble::JobFault;
use crate::catalog::pattern::{Pattern, PortEnd};
use crate::job::fixture::FixtureKind;
use crate::job::pipes::{End, Fit};
use crate::job::point::PlanPoint;
use crate::units::{Angle, Length};
use nalgebra::{Isometry3, Point2, Point3, Vector2, Vector3};

impl Builder<'_> {
    /// Cut length of the piece before a fitting. `at_zero` is where its centre would be with no piece at all, `axis`
    /// the way it moves as the piece grows, `origin` the centre before it.
    #[expect(
        clippy::too_many_arguments,
        reason = "a distance is from here to there along that, and named in faults"
    )]
    pub(super) fn length(
        &mut self,
        start: &Start<'_>,
        i: usize,
        fit: &Fit,
        pattern: &Pattern,
        origin: Point3<f64>,
        at_zero: Point3<f64>,
        axis: Vector3<f64>,
        least: Length,
        waypoint: Option<Point2<f64>>,
        swings: bool,
        path: &str,
    ) -> Option<Length> {
        let given: Vec<&str> = [
            ("height", fit.height.is_some()),
            ("to", fit.to.is_some()),
            ("level", fit.level.is_some()),
            ("centre", fit.centre.is_some()),
            ("cut", fit.cut.is_some()),
        ]
        .into_iter()
        .filter_map(|(name, is)| is.then_some(name))
        .collect();
        let plan = Vector2::new(axis.x, axis.y);
        // On a riser a waypoint only turns the clock of what comes; the height says how far.
        let steep = plan.norm() < 0.1;
        if given.len() > 1 {
            return self.refuse(
                path,
                format!("{} is given {}; one of them is enough", fit.name, given.join(" and ")),
            );
        }
        let cut = if let Some(cut) = fit.cut {
            cut.to_inches()
        } else if let Some(height) = &fit.height {
            let z = self.height_z(height, path)?;
            if axis.z.abs() < 0.05 {
                return self.refuse(
                    path,
                    format!("{} is given a height, but the leg to it lies nearly level; give to, level, centre or cut", fit.name),
                );
            }
            (z - at_zero.z) / axis.z
        } else if let Some(to) = waypoint {
            if steep {
                return self.refuse(
                    path,
                    format!("{} is given a plan point, but the leg to it stands upright; give height, centre or cut", fit.name),
                );
            }
            Vector2::new(to.x - at_zero.x, to.y - at_zero.y).dot(&plan) / plan.norm_squared()
        } else if let Some(level) = fit.level {
            if steep {
                return self.refuse(
                    path,
                    format!("{} is given a level distance, but the leg to it stands upright; give height, centre or cut", fit.name),
                );
            }
            let already = (at_zero - origin).xy().dot(&plan) / plan.norm();
            (level.to_inches() - already) / plan.norm()
        } else if let Some(centre) = fit.centre {
            // |at_zero - origin + axis * cut| = centre, the farther of the two.
            let w = at_zero - origin;
            let along = w.dot(&axis);
            let rest = centre.to_inches().powi(2) - w.norm_squared() + along * along;
            if rest < 0.0 {
                return self
                    .refuse(path, format!("{} can't be {centre} from the centre before it", fit.name));
            }
            rest.sqrt() - along
        } else if swings && !steep && i + 1 == start.fits.len() {
            self.reach_by_swing(start, pattern, at_zero, plan).unwrap_or(least.to_inches())
        } else if axis.z > 0.5 && pattern.ports.iter().any(|p| p.end == PortEnd::Ring) {
            self.flange_height(start).map_or(least.to_inches(), |z| (z - at_zero.z) / axis.z)
        } else {
            least.to_inches()
        };
        Some(Length::inches(cut))
    }

    fn refuse(&mut self, path: &str, message: String) -> Option<Length> {
        self.faults.push(JobFault { path: path.into(), message, help: None });
        None
    }

    fn end_fixture<'s>(&self, start: &Start<'s>) -> Option<&'s crate::label::Label> {
        match start.end {
            End::Fixture { name, .. } => Some(name),
            _ => None,
        }
    }

    fn fixture_point(&mut self, start: &Start<'_>) -> Option<Point2<f64>> {
        let name = self.end_fixture(start)?.clone();
        self.plan_point(&PlanPoint::Under { fixture: name }, &start.end_path)
    }

    /// A closet flange with no height of its own sits with its ring on the finished floor.
    fn flange_height(&mut self, start: &Start<'_>) -> Option<f64> {
        let name = self.end_fixture(start)?;
        let fixture = self.job.fixtures.iter().find(|f| f.name == *name && f.kind == FixtureKind::Closet)?;
        self.framed.floor(&fixture.floor).map(|f| f.finished_z)
    }

    /// The cut at which a trap at the end of a run can be swung under its fixture; the swing takes up what lies beside
    /// the run's line, as far as it reaches.
    fn reach_by_swing(
        &mut self,
        start: &Start<'_>,
        pattern: &Pattern,
        at_zero: Point3<f64>,
        plan: Vector2<f64>,
    ) -> Option<f64> {
        let to = self.fixture_point(start)?;
        let radius = swing_radius(pattern)?;
        let line = plan / plan.norm();
        let off = Vector2::new(to.x - at_zero.x, to.y - at_zero.y);
        let beside = line.perp(&off);
        let short = (radius * radius - beside * beside).max(0.0).sqrt();
        Some((off.dot(&line) - short) / plan.norm())
    }

    /// Swings a trap: as the job says, else so that its inlet comes nearest its fixture.
    pub(super) fn swing(
        &mut self,
        start: &Start<'_>,
        fit: &Fit,
        pattern: Pattern,
        world: Isometry3<f64>,
        path: &str,
    ) -> Option<Pattern> {
        let Some(inlet) = pattern.ports.iter().position(|p| p.name.as_str() == "inlet") else {
            return Some(pattern);
        };
        let centre = world * Point3::origin();
        let inlet_plan = |angle: f64| {
            let swung = pattern.swung(Angle::radians(angle));
            (world * swung.ports[inlet].stop).xy()
        };
        let off: Box<dyn Fn(f64) -> f64> = if let Some(clock) = fit.swing {
            let a = clock.angle().to_radians();
            let way = Vector2::new(a.sin(), a.cos());
            Box::new(move |angle| {
                let out = inlet_plan(angle) - centre.xy();
                1.0 - out.dot(&way) / out.norm().max(1e-9)
            })
        } else if let Some(to) = self.fixture_point(start) {
            Box::new(move |angle| (inlet_plan(angle) - to).norm())
        } else {
            self.faults.push(JobFault {
                path: format!("{path}.swing"),
                message: format!("{} ends at no fixture; say where its inlet is swung to", fit.name),
                help: None,
            });
            return None;
        };
        let steps = 72;
        let step = std::f64::consts::TAU / f64::from(steps);
        let best =
            (0..steps).map(|i| f64::from(i) * step).min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(0.0);
        let angle = golden(best - step, best + step, off);
        Some(pattern.swung(Angle::radians(angle)))
    }
}

/// Distance of a trap's inlet from its riser's axis.
fn swing_radius(pattern: &Pattern) -> Option<f64> {
    let inlet = pattern.ports.iter().find(|p| p.name.as_str() == "inlet")?;
    let riser = inlet.axis;
    let from_origin = inlet.stop.coords;
    Some((from_origin - riser * from_origin.dot(&riser)).norm())
}
