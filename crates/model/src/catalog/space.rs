//! The space a fitting takes up, in its pattern's frame: cylinders that enclose its hubs, legs and sweeps.

use super::Catalog;
use super::family::Family;
use super::pattern::{INLET, Pattern, Port, PortEnd};
use crate::solid::{Body, CentreArc, bend_bodies};
use crate::tolerance::SLACK;
use crate::units::Length;
use nalgebra::{Point3, Unit, Vector3};

impl Pattern {
    /// Convex bodies that together enclose the fitting, in its own frame. A hub reaches from stop to face, a leg from
    /// stop to stop at the pipe's outside diameter; where the way bends, the arc runs from stop to stop.
    ///
    /// A fitting's body between its hubs is drawn as thin as the pipe; real ones are up to 1/16 in thicker.
    pub fn bodies(&self, catalog: &Catalog) -> Vec<Body> {
        let mut space = Space { bodies: Vec::new() };
        for port in &self.ports {
            match port.end {
                PortEnd::Hub => space.straight(port.stop, port.face(), port.outside),
                PortEnd::Ring => {
                    let thickness = self.beyond.unwrap_or(Length::ZERO).to_inches();
                    space.straight(port.stop, port.stop + port.axis * thickness, port.outside);
                }
                // A threaded branch is as wide as a hub for most of its length.
                PortEnd::Thread => space.straight(port.foot(), port.stop, port.outside),
                PortEnd::Spigot => {}
            }
        }
        let wide = |port: &Port| self.leg_outside(port, catalog);
        match (self.family, self.ports.as_slice()) {
            (Family::PTrap, [outlet, inlet]) => self.trap(&mut space, outlet, inlet, wide(outlet)),
            (Family::Cap | Family::Plug, [end]) => {
                let beyond = end.foot() - end.axis * self.beyond.unwrap_or(Length::ZERO).to_inches();
                space.straight(end.stop, beyond, end.outside);
            }
            (Family::ClosetFlange | Family::SpigotClosetFlange, [below, _]) => {
                space.straight(below.foot(), below.stop, below.outside);
            }
            (Family::Coupling | Family::SlipCoupling | Family::Reducer | Family::Bushing, [one, other]) => {
                space.straight(one.stop, other.stop, one.outside.max(other.outside));
            }
            (family, [one, other]) if family.bend().is_some() => {
                space.sweep(one, other, wide(one).max(wide(other)));
            }
            (family, [one, other, inlet]) if family.is_inlet_bend() => {
                space.sweep(one, other, wide(one).max(wide(other)));
                space.straight(inlet.foot(), inlet.stop, wide(inlet));
            }
            (Family::Combination, [down, up, branch]) => {
                space.straight(down.stop, up.stop, wide(down).max(wide(up)));
                if let Some(turn) = self.turn {
                    space.straight(turn, branch.stop, wide(branch));
                    let node = Point3::new(0.0, 0.0, turn.z - turn.x);
                    space.straight(node, turn, wide(branch));
                    // The knee's outer corner, which two flat ends leave open.
                    let knee = Vector3::y() * (wide(branch).to_inches() / 2.0);
                    space.straight(turn - knee, turn + knee, wide(branch));
                }
            }
            (family, [down, up, branches @ ..]) if !branches.is_empty() => {
                space.straight(down.stop, up.stop, wide(down).max(wide(up)));
                for branch in branches {
                    space.straight(branch.foot(), branch.stop, wide(branch));
                    if matches!(
                        family,
                        Family::SanitaryTee
                            | Family::StreetSanitaryTee
                            | Family::DoubleSanitaryTee
                            | Family::DoubleFixtureFitting
                    ) {
                        space.sweep(branch, down, wide(branch));
                    }
                }
            }
            (_, ports) => {
                for port in ports {
                    space.straight(port.foot(), port.stop, wide(port));
                }
            }
        }
        space.bodies
    }

    /// What a leg measures outside: its pipe, or the whole hub where the catalog has no such pipe.
    fn leg_outside(&self, port: &Port, catalog: &Catalog) -> Length {
        let pipe = self.materials.first().and_then(|m| catalog.pipe(*m, port.size));
        pipe.map_or(port.outside, |p| p.outside)
    }

    fn trap(&self, space: &mut Space, outlet: &Port, inlet: &Port, wide: Length) {
        debug_assert_eq!(inlet.name.as_str(), INLET, "a trap lists its outlet first");
        let Some(swing) = self.swing else { return };
        let down = -swing.about;
        let riser = swing.through + down * swing.reach.to_inches();
        let riser_leg = Port { axis: down, stop: riser, laying: swing.reach, ..outlet.clone() };
        space.sweep(outlet, &riser_leg, wide);
        // The U's hub that the riser stands in.
        space.straight(riser, riser - down * inlet.socket.to_inches(), inlet.outside);
        let radius = swing.radius / 2.0;
        let straight = swing.drop - swing.reach - radius;
        let start = riser + down * straight.to_inches();
        space.straight(riser, start, wide);
        space.straight(inlet.stop, inlet.stop + down * straight.to_inches(), wide);
        let direction = Unit::new_normalize(down);
        let turn_axis = Unit::new_normalize(down.cross(&(inlet.stop - riser)));
        let arc = CentreArc {
            start,
            direction,
            turn_axis,
            radius_in: radius.to_inches(),
            angle_rad: std::f64::consts::PI,
        };
        space.bodies.extend(bend_bodies(&arc, wide.to_inches() / 2.0));
    }
}

struct Space {
    bodies: Vec<Body>,
}

impl Space {
    fn straight(&mut self, a: Point3<f64>, b: Point3<f64>, outside: Length) {
        if (b - a).norm() > SLACK {
            self.bodies.push(Body::Cylinder { a, b, radius_in: outside.to_inches() / 2.0 });
        }
    }

    /// The way from one port's stop to another's: an arc as long as the shorter leg allows, and what is left of the
    /// longer one straight.
    fn sweep(&mut self, from: &Port, to: &Port, outside: Length) {
        let tangent = from.laying.min(to.laying).to_inches();
        let (start, end) = (from.foot() + from.axis * tangent, to.foot() + to.axis * tangent);
        self.straight(from.stop, start, outside);
        self.straight(end, to.stop, outside);
        let turn = std::f64::consts::PI - from.axis.angle(&to.axis);
        let arc = CentreArc {
            start,
            direction: Unit::new_normalize(-from.axis),
            turn_axis: Unit::new_normalize(to.axis.cross(&from.axis)),
            radius_in: tangent / (turn / 2.0).tan(),
            angle_rad: turn,
        };
        self.bodies.extend(bend_bodies(&arc, outside.to_inches() / 2.0));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn bodies(name: &str) -> (Pattern, Vec<Body>) {
        let catalog = Catalog::builtin();
        let pattern = catalog.pattern(name).unwrap().clone();
        let bodies = pattern.bodies(catalog);
        (pattern, bodies)
    }

    fn holds(bodies: &[Body], p: &Point3<f64>) -> bool {
        bodies.iter().any(|body| {
            let Body::Cylinder { a, b, radius_in } = *body else { panic!("fittings are made of cylinders") };
            let (axis, long) = ((b - a).normalize(), (b - a).norm());
            let along = (p - a).dot(&axis);
            along > -1e-9 && along < long + 1e-9 && ((p - a) - axis * along).norm() < radius_in + 1e-9
        })
    }

    fn box_of(bodies: &[Body]) -> (Point3<f64>, Point3<f64>) {
        bodies.iter().map(Body::aabb).reduce(|(l, h), (l2, h2)| (l.inf(&l2), h.sup(&h2))).unwrap()
    }

    #[test]
    fn every_pattern_reaches_from_face_to_face_without_a_gap_at_its_ports() {
        for pattern in Catalog::builtin().patterns() {
            let bodies = pattern.bodies(Catalog::builtin());
            for port in &pattern.ports {
                for at in [port.stop, port.face()] {
                    assert!(holds(&bodies, &at), "{} {} {at}", pattern.name, port.name);
                }
                let side = if port.axis.z.abs() < 0.9 { Vector3::z() } else { Vector3::x() };
                let out = port.axis.cross(&side).normalize() * (port.outside.to_inches() / 2.0);
                let rim = if port.end == PortEnd::Hub { port.face() } else { port.stop };
                assert!(holds(&bodies, &(rim + out)), "{} {}: its rim", pattern.name, port.name);
            }
            let (low, high) = box_of(&bodies);
            assert!((high - low).norm() < 25.0, "{} is {:?}", pattern.name, high - low);
        }
    }

    // Legs and sockets of the pattern: 2-5/16 and 1-1/2 below, 1-1/2 and 1-1/2 above; the hub of 3 in is 4 in wide.
    #[test]
    fn a_tee_is_as_long_and_wide_as_its_hubs() {
        let (_, bodies) = bodies("3x3x2 sanitary tee");
        let (low, high) = box_of(&bodies);
        assert_relative_eq!(high.z - low.z, 6.0 + 13.0 / 16.0, epsilon = 1e-9);
        assert_relative_eq!(low.x, -2.0, epsilon = 1e-9);
        // Branch face: 2-13/16 and 3/4 out, its rim a little further for the pitch.
        assert!(high.x > 3.56 && high.x < 3.62, "{}", high.x);
    }

    // The lowest point of a trap is the U's axis and half a pipe below it: 5-3/8 and 1-3/16 for 2 in.
    #[test]
    fn a_trap_reaches_down_by_its_drop_and_half_the_pipe() {
        let (trap, bodies) = bodies("2 p-trap");
        let down = -trap.swing.unwrap().about;
        let turn = nalgebra::UnitQuaternion::rotation_between(&down, &-Vector3::z()).unwrap();
        let plumb: Vec<Body> = bodies.iter().map(|b| b.transformed(&nalgebra::convert(turn))).collect();
        let (low, _) = box_of(&plumb);
        let expect = 5.375 + 1.1875;
        assert!(-low.z >= expect - 1e-9 && -low.z <= expect + 1.0 / 32.0 + 1e-9, "{}", -low.z);
    }

    #[test]
    fn a_swung_trap_takes_its_space_along() {
        let (trap, straight) = bodies("1-1/2 p-trap");
        let turned = trap.swung(crate::units::Angle::degrees(90.0)).bodies(Catalog::builtin());
        let (low, high) = box_of(&straight);
        assert_relative_eq!(low.y, -high.y, epsilon = 1e-9);
        let (low, high) = box_of(&turned);
        assert_relative_eq!(low.y.abs().max(high.y), 3.5 + 1.125, epsilon = 1e-9);
    }
}
