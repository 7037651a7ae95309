//! From the lengths of the catalog's file to ports in the pattern's frame.

use super::Catalog;
use super::family::Family;
use super::material::Material;
use super::name::FittingName;
use super::pattern::{INLET, Pattern, Port, PortEnd, Swing};
use super::shape::{Fitting, RawPort, Shape};
use crate::label::Label;
use crate::units::{Angle, Grade, Length, NominalSize};
use nalgebra::{Point3, Vector3};

/// The pattern of a fitting, with hubs and bores from the catalog's own tables.
///
/// # Errors
/// A sentence that says why there can be no such fitting.
pub(super) fn pattern(fitting: &Fitting, name: &FittingName, catalog: &Catalog) -> Result<Pattern, String> {
    let pitch = fitting.pitch.unwrap_or_else(|| name.family().pitch());
    let maker = Maker { fitting, name, catalog, pitch };
    let (ports, leave, swing) = maker.ports()?;
    let weir = swing.map(|_| maker.weir(ports[0].bore));
    let pattern = Pattern {
        name: Label::new(name.to_string()),
        family: name.family(),
        materials: fitting.materials.clone(),
        ports,
        enter: 0,
        leave,
        clock_axis: Vector3::x(),
        pitch,
        weir,
        swing,
        turn: maker.turn(),
        beyond: maker.beyond(),
        dry_only: name.family().is_dry_only(),
        tolerance: fitting.tolerance,
        status: fitting.status,
        source: fitting.source.to_string(),
    };
    pattern.possible()?;
    Ok(pattern)
}

type Ports = (Vec<Port>, Option<usize>, Option<Swing>);

struct Maker<'a> {
    fitting: &'a Fitting,
    name: &'a FittingName,
    catalog: &'a Catalog,
    pitch: Grade,
}

impl Maker<'_> {
    fn ports(&self) -> Result<Ports, String> {
        self.fitting.shape.suits(self.name.family())?;
        let through = |ports| (ports, Some(1), None);
        Ok(match &self.fitting.shape {
            Shape::Bend { laying, out } => through(self.bend(*laying, out.unwrap_or(*laying))?),
            Shape::InletBend { laying, inlet } => through(self.inlet_bend(*laying, *inlet)?),
            Shape::Tee { up, down, branch } => through(self.tee(*up, *down, *branch)?),
            Shape::Wye { up, down, branch } => {
                let half = std::f64::consts::FRAC_1_SQRT_2;
                through(self.run_and(*up, *down, Vector3::new(half, 0.0, half), *branch)?)
            }
            Shape::Combination { up, down, branch, turn } => {
                if branch <= turn {
                    return Err(format!("its branch ends at {branch}, before it has turned at {turn}"));
                }
                through(self.run_and(*up, *down, self.side(), *branch)?)
            }
            Shape::Coupling { gap, socket, outside } => through(self.coupling(*gap, *socket, *outside)?),
            Shape::Bushing { stop } => through(self.bushing(*stop)?),
            Shape::Closure { .. } => {
                let hub = self.leg("in", self.name.size(0), -Vector3::z(), Length::ZERO)?;
                let plug = self.name.family() == Family::Plug;
                (vec![if plug { self.spigot(hub)? } else { hub }], None, None)
            }
            Shape::Flange { stop, ring, .. } => through(self.flange(*stop, *ring)?),
            Shape::Trap { outlet, spread, reach, depth } => {
                let swing = self.swing(*spread, *reach, depth.unwrap_or(*spread / 2.0));
                (self.trap(*outlet, &swing)?, Some(1), Some(swing))
            }
            Shape::Ports { ports, leave } => {
                let ports: Vec<Port> = ports.iter().map(|p| self.raw(p)).collect::<Result<_, _>>()?;
                let leave = leave.as_ref().map(|name| {
                    let at = ports.iter().position(|p| p.name == *name);
                    at.ok_or_else(|| format!("it says a run goes on through `{name}`, but has no such port"))
                });
                (ports, leave.transpose()?, None)
            }
        })
    }

    fn bend(&self, laying: Length, out: Length) -> Result<Vec<Port>, String> {
        // A closet bend is larger at the far end, and named by it.
        let enter = self.leg("in", self.name.size(1), -Vector3::z(), laying)?;
        let enter = if self.name.family().is_street() { self.spigot(enter)? } else { enter };
        Ok(vec![enter, self.leg("out", self.name.size(0), self.bend_axis()?, out)?])
    }

    fn inlet_bend(&self, laying: Length, inlet: Length) -> Result<Vec<Port>, String> {
        let (name, axis) = match self.name.family() {
            // In line with the end towards the base: what comes in there goes straight through.
            Family::HeelInletBend => ("heel", Vector3::z()),
            // It rises by the pitch whichever end looks up.
            _ => {
                let rise = self.side().z;
                ("side", Vector3::new(rise, (1.0 - 2.0 * rise * rise).sqrt(), rise))
            }
        };
        Ok(vec![
            self.leg("in", self.name.size(0), -Vector3::z(), laying)?,
            self.leg("out", self.name.size(1), self.bend_axis()?, laying)?,
            self.leg(name, self.name.size(2), axis, inlet)?,
        ])
    }

    fn run_and(
        &self,
        up: Length,
        down: Length,
        branch_axis: Vector3<f64>,
        branch: Length,
    ) -> Result<Vec<Port>, String> {
        Ok(vec![
            self.leg("down", self.name.size(0), -Vector3::z(), down)?,
            self.leg("up", self.name.size(1), Vector3::z(), up)?,
            self.leg("branch", self.name.size(2), branch_axis, branch)?,
        ])
    }

    fn tee(&self, up: Length, down: Length, branch: Length) -> Result<Vec<Port>, String> {
        let side = self.side();
        let mut ports = self.run_and(up, down, side, branch)?;
        match self.name.family() {
            Family::CleanoutTee | Family::TestTee => {
                ports[2].end = PortEnd::Thread;
                ports[2].socket = Length::ZERO;
            }
            Family::StreetSanitaryTee => ports[0] = self.spigot(ports[0].clone())?,
            Family::DoubleSanitaryTee | Family::DoubleFixtureFitting => {
                let other = Vector3::new(-side.x, 0.0, side.z);
                ports.push(self.leg("opposite", self.name.size(3), other, branch)?);
            }
            _ => {}
        }
        Ok(ports)
    }

    fn coupling(
        &self,
        gap: Length,
        socket: Option<Length>,
        outside: Option<Length>,
    ) -> Result<Vec<Port>, String> {
        if gap < Length::ZERO {
            return Err(format!("its stops would lie {} past each other", gap.abs().exact()));
        }
        let reducer = self.name.family() == Family::Reducer;
        let (low, high) = if reducer { ("large", "small") } else { ("in", "out") };
        let mut ports = vec![
            self.leg(low, self.name.size(0), -Vector3::z(), gap / 2.0)?,
            self.leg(high, self.name.size(1), Vector3::z(), gap / 2.0)?,
        ];
        for port in &mut ports {
            port.socket = socket.unwrap_or(port.socket);
            port.outside = outside.unwrap_or(port.outside);
        }
        Ok(ports)
    }

    fn bushing(&self, stop: Length) -> Result<Vec<Port>, String> {
        let large = self.spigot(self.leg("large", self.name.size(0), -Vector3::z(), Length::ZERO)?)?;
        let mut small = self.leg("small", self.name.size(1), Vector3::z(), -stop)?;
        // It starts at the flush face and has no wall of its own outside the bushing.
        small.socket = stop;
        small.outside = large.outside;
        Ok(vec![large, small])
    }

    fn flange(&self, stop: Length, ring: Length) -> Result<Vec<Port>, String> {
        let size = self.name.size(1);
        let mut below = self.leg("hub", size, -Vector3::z(), stop)?;
        if self.name.family() == Family::SpigotClosetFlange {
            below.name = Label::new("spigot");
            below.end = PortEnd::Spigot;
            below.socket = Length::ZERO;
            below.outside = self.outside(size)?;
        }
        let above = Port {
            name: Label::new("ring"),
            end: PortEnd::Ring,
            stop: Point3::origin(),
            axis: Vector3::z(),
            socket: Length::ZERO,
            laying: Length::ZERO,
            outside: ring,
            ..below.clone()
        };
        Ok(vec![below, above])
    }

    fn swing(&self, spread: Length, reach: Length, depth: Length) -> Swing {
        let riser = self.side();
        Swing {
            through: Point3::origin(),
            about: riser,
            // Square to the riser, away from the outlet.
            zero: Vector3::new(-riser.z, 0.0, riser.x),
            radius: spread,
            reach,
            drop: reach + depth,
            angle: Angle::ZERO,
        }
    }

    fn trap(&self, outlet: Length, swing: &Swing) -> Result<Vec<Port>, String> {
        let size = self.name.size(0);
        let mut inlet = self.leg(INLET, size, swing.about, Length::ZERO)?;
        inlet.stop =
            swing.through - swing.about * swing.reach.to_inches() + swing.zero * swing.radius.to_inches();
        Ok(vec![self.leg("outlet", size, -Vector3::z(), outlet)?, inlet])
    }

    fn turn(&self) -> Option<Point3<f64>> {
        let Shape::Combination { turn, .. } = &self.fitting.shape else { return None };
        Some(Point3::origin() + self.side() * turn.to_inches())
    }

    fn beyond(&self) -> Option<Length> {
        match &self.fitting.shape {
            Shape::Flange { thickness, .. } => Some(*thickness),
            Shape::Closure { beyond } => Some(*beyond),
            _ => None,
        }
    }

    /// Out of a branch: square to the run but for the pitch, rising where the run is plumb.
    fn side(&self) -> Vector3<f64> {
        let pitch = (self.pitch.to_per_foot() / 12.0).atan();
        Vector3::new(pitch.cos(), 0.0, pitch.sin())
    }

    fn bend_axis(&self) -> Result<Vector3<f64>, String> {
        let family = self.name.family();
        let bend = family.bend().ok_or_else(|| format!("a {} is no bend", family.word()))?.to_radians();
        // Between the outward axes: half a turn less the bend, and the pitch opens it.
        let between = std::f64::consts::PI - bend + (self.pitch.to_per_foot() / 12.0).atan();
        Ok(Vector3::new(between.sin(), 0.0, -between.cos()))
    }

    /// A hub whose stop is so far along an axis through the origin.
    fn leg(&self, name: &str, size: NominalSize, axis: Vector3<f64>, laying: Length) -> Result<Port, String> {
        let material = self.material()?;
        let socket = self.catalog.socket(material, size);
        let pipe = self.catalog.pipe(material, size);
        let (Some(socket), Some(pipe)) = (socket, pipe) else {
            return Err(format!("the catalog has no hub or pipe of {size} {material} for its port `{name}`"));
        };
        Ok(Port {
            name: Label::new(name),
            size,
            end: PortEnd::Hub,
            stop: Point3::origin() + axis * laying.to_inches(),
            axis,
            socket: socket.depth,
            laying,
            outside: socket.hub_outside,
            bore: pipe.inside,
        })
    }

    /// The spigot in place of a hub: it reaches to the same face, so that a mate's stop lies where the hub's would.
    fn spigot(&self, hub: Port) -> Result<Port, String> {
        Ok(Port {
            end: PortEnd::Spigot,
            stop: hub.face(),
            laying: hub.laying + hub.socket,
            socket: Length::ZERO,
            outside: self.outside(hub.size)?,
            ..hub
        })
    }

    fn raw(&self, raw: &RawPort) -> Result<Port, String> {
        let axis = Vector3::new(raw.axis.0, raw.axis.1, raw.axis.2);
        let hub = self.leg(raw.name.as_str(), raw.size, axis, raw.laying)?;
        let is_hub = raw.end == PortEnd::Hub;
        Ok(Port {
            end: raw.end,
            stop: Point3::new(raw.stop.0, raw.stop.1, raw.stop.2),
            socket: if is_hub { raw.socket.unwrap_or(hub.socket) } else { Length::ZERO },
            outside: if is_hub { hub.outside } else { self.outside(raw.size)? },
            ..hub
        })
    }

    fn material(&self) -> Result<Material, String> {
        self.fitting.materials.first().copied().ok_or_else(|| "it needs at least one material".to_owned())
    }

    fn outside(&self, size: NominalSize) -> Result<Length, String> {
        let material = self.material()?;
        let pipe = self.catalog.pipe(material, size);
        pipe.map(|p| p.outside).ok_or_else(|| format!("the catalog has no pipe of {size} {material}"))
    }

    /// Where the bottom of the outlet's bore meets the near side of the riser's.
    fn weir(&self, bore: Length) -> Point3<f64> {
        let (riser, half) = (self.side(), bore.to_inches() / 2.0);
        Point3::new(-half, 0.0, -half * (1.0 + riser.z) / riser.x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn pattern(name: &str) -> &'static Pattern {
        Catalog::builtin().pattern(name).unwrap()
    }

    fn port<'a>(pattern: &'a Pattern, name: &str) -> &'a Port {
        &pattern.ports[pattern.port(name).unwrap()]
    }

    fn degrees_between(pattern: &Pattern, name: &str) -> f64 {
        pattern.ports[pattern.enter].axis.angle(&port(pattern, name).axis).to_degrees()
    }

    // ASTM D3311 drainage patterns carry 1/4 in per ft in their sockets, 91.2 degrees (as a trade teaching page says).
    #[test]
    fn drainage_patterns_open_by_a_quarter_inch_in_a_foot() {
        let out = ["3 1/4 bend", "2 street 1/4 bend", "3 long-turn 1/4 bend", "4x3 closet bend"];
        for name in out {
            assert_relative_eq!(degrees_between(pattern(name), "out"), 91.2, epsilon = 0.01);
        }
        for name in ["3x3x2 sanitary tee", "2 double sanitary tee", "3 combination"] {
            let tee = pattern(name);
            let branch = port(tee, "branch").axis;
            assert_relative_eq!(branch.z / branch.x * 12.0, 0.25, epsilon = 1e-12);
            assert_relative_eq!(degrees_between(tee, "branch"), 91.2, epsilon = 0.01);
        }
        let opposite = port(pattern("2 double sanitary tee"), "opposite").axis;
        assert_relative_eq!(opposite.z / -opposite.x * 12.0, 0.25, epsilon = 1e-12);
    }

    // The same page: 1/8 and 1/16 bends and vent patterns are true angles. A bend's axes are half a turn less its bend.
    #[test]
    fn other_patterns_are_true() {
        for (name, port, degrees) in [
            ("2 1/8 bend", "out", 135.0),
            ("2 street 1/8 bend", "out", 135.0),
            ("3 1/16 bend", "out", 157.5),
            ("3 1/6 bend", "out", 120.0),
            ("2 vent ell", "out", 90.0),
            ("2 vent tee", "branch", 90.0),
            ("3 wye", "branch", 135.0),
            ("3 cleanout tee", "branch", 90.0),
            ("2 coupling", "out", 180.0),
        ] {
            assert_relative_eq!(degrees_between(pattern(name), port), degrees, epsilon = 1e-9);
        }
    }

    // Face to the other leg's axis is laying length and socket depth (textbook Modern Plumbing, 2015, p. 312); the
    // figures are the catalog's own legs with the sockets of that book's pages 327 and 339.
    #[test]
    fn a_bend_measures_leg_and_socket_from_axis_to_face() {
        for (name, face) in [
            ("1-1/2 1/4 bend", 2.0 + 7.0 / 16.0),
            ("2 1/4 bend", 3.0 + 1.0 / 16.0),
            ("3 1/4 bend", 4.0 + 9.0 / 16.0),
            ("4 1/4 bend", 5.0 + 5.0 / 8.0),
            ("6 1/4 bend", 8.0),
            ("2 1/8 bend", 2.25),
            ("3 1/8 bend", 3.25),
        ] {
            for end in &pattern(name).ports {
                assert_relative_eq!(end.face().coords.norm(), face, epsilon = 1e-12);
            }
        }
    }

    // Modern Plumbing, 2022, p. 339, takes 3 in for the leg of the 3 in 90 and cuts 16 - 3 + 1-1/2 = 14-1/2. D3311 allows
    // 1/16 either way.
    #[test]
    fn the_three_inch_quarter_bend_agrees_with_the_textbook_within_its_tolerance() {
        let bend = pattern("3 1/4 bend");
        let cut = 16.0 - port(bend, "out").laying.to_inches() + port(bend, "in").socket.to_inches();
        assert!((cut - 14.5).abs() <= bend.tolerance.to_inches(), "{cut}");
        assert_eq!(bend.tolerance, Length::inches(1.0 / 16.0));
    }

    // The same book, 2015, p. 327: 4 ft 6 face to face, 2 in pipe home in both hubs, is cut 4 ft 7-1/2.
    #[test]
    fn pipe_between_two_faces_grows_by_both_sockets() {
        let hub = port(pattern("2 1/4 bend"), "out");
        assert_relative_eq!(54.0 + 2.0 * hub.socket.to_inches(), 55.5);
    }

    // Sums of the legs and sockets above, done by hand.
    #[test]
    fn tees_measure_the_sum_of_their_legs_and_sockets_overall() {
        for (name, overall) in [
            ("1-1/2 sanitary tee", 4.25),
            ("2 sanitary tee", 5.0 + 5.0 / 16.0),
            ("3 sanitary tee", 8.0 + 1.0 / 16.0),
            ("4 sanitary tee", 9.0 + 7.0 / 8.0),
            ("3x3x1-1/2 sanitary tee", 5.0 + 7.0 / 8.0),
            ("3x3x2 sanitary tee", 6.0 + 13.0 / 16.0),
            ("4x4x2 sanitary tee", 7.0 + 5.0 / 16.0),
            ("4x4x3 sanitary tee", 8.0 + 9.0 / 16.0),
        ] {
            let tee = pattern(name);
            let between = port(tee, "up").face() - port(tee, "down").face();
            assert_relative_eq!(between.norm(), overall, epsilon = 1e-12);
        }
    }

    // A street bend gives the same centre to mate's stop as the plain bend with a make-up piece less one socket: the
    // trade's reason to buy it.
    #[test]
    fn a_street_bend_saves_one_socket() {
        let (street, plain) = (pattern("3 street 1/4 bend"), pattern("3 1/4 bend"));
        let own_end = port(street, "in");
        assert_eq!(own_end.end, PortEnd::Spigot);
        let to_mate_face = own_end.laying - port(plain, "in").socket;
        assert_eq!(to_mate_face, port(plain, "in").laying);
        // Flange, street 1/4 bend: ring's underside to the arm's centre is 1-1/4 + 1-1/2 + 3-1/16.
        let flange = pattern("4x3 closet flange");
        let drop = port(flange, "hub").laying + own_end.laying;
        assert_relative_eq!(drop.to_inches(), 5.0 + 13.0 / 16.0, epsilon = 1e-12);
    }

    // Plane geometry: wye and 1/8 bend, one in the other, put the branch as far out as they do apart.
    #[test]
    fn a_combination_is_a_wye_with_a_street_eighth_bend() {
        for size in ["1-1/2", "2", "3", "4"] {
            let combination = pattern(&format!("{size} combination"));
            let wye = pattern(&format!("{size} wye"));
            let street = pattern(&format!("{size} street 1/8 bend"));
            let hub = port(street, "out").laying;
            let vertex = port(wye, "branch").laying + port(street, "in").laying;
            let out = vertex.to_inches() * std::f64::consts::FRAC_1_SQRT_2 + hub.to_inches();
            let branch = port(combination, "branch").stop;
            assert_relative_eq!(branch.x, out, epsilon = 1.0 / 16.0);
            let run = port(combination, "up").laying + port(combination, "down").laying;
            let wye_run = port(wye, "up").laying + port(wye, "down").laying;
            assert_relative_eq!(run.to_inches(), wye_run.to_inches(), epsilon = 1.0 / 16.0);
        }
    }

    // IRC 2018 P3201.2: a trap's seal is 2 to 4 in.
    #[test]
    fn traps_hold_a_seal_within_the_code() {
        for (name, by_hand) in [("1-1/2 p-trap", 2.58), ("2 p-trap", 3.31)] {
            let trap = pattern(name);
            let seal = trap.seal().unwrap().to_inches();
            assert!((2.0..=4.0).contains(&seal), "{name}: {seal}");
            // Riser and street ell, less the bore; the pitch of the outlet takes a little of it.
            assert_relative_eq!(seal, by_hand, epsilon = 0.05);
            let bore = trap.ports[trap.enter].bore.to_inches();
            assert_relative_eq!(trap.weir.unwrap().x, -bore / 2.0);
        }
    }

    // With the outlet's pipe rising 1/4 in per ft outwards the riser is plumb, so the inlet looks straight up.
    #[test]
    fn a_trap_on_grade_has_a_plumb_riser() {
        let trap = pattern("2 p-trap");
        let up = trap.swing.unwrap().about;
        let along = -trap.ports[trap.enter].axis;
        assert_relative_eq!(along.dot(&up) / along.cross(&up).norm() * 12.0, 0.25, epsilon = 1e-12);
        assert_eq!(port(trap, INLET).axis, up);
        assert!(up.x > 0.99, "12 on the clock is up");
    }

    #[test]
    fn a_swung_trap_keeps_its_inlet_on_a_circle_about_the_riser() {
        let trap = pattern("2 p-trap");
        let swing = trap.swing.unwrap();
        let straight = port(trap, INLET).stop;
        let half = trap.swung(Angle::degrees(180.0));
        let back = port(&half, INLET).stop;
        assert_relative_eq!((straight - back).norm(), 2.0 * (4.0 + 5.0 / 8.0), epsilon = 1e-12);
        assert_relative_eq!((straight - back).normalize(), swing.zero, epsilon = 1e-12);
        let quarter = half.swung(Angle::degrees(90.0));
        let side = port(&quarter, INLET);
        let out = side.stop - nalgebra::center(&straight, &back);
        // Right-handed about the riser: from straight on towards riser x straight on.
        assert_relative_eq!(out.normalize(), swing.about.cross(&swing.zero), epsilon = 1e-12);
        assert_relative_eq!(side.axis, swing.about, epsilon = 1e-12);
        assert_eq!(quarter.ports[0], trap.ports[0]);
    }

    #[test]
    fn a_bushing_lies_flush_in_its_hub() {
        let bushing = pattern("3x2 bushing");
        let (large, small) = (port(bushing, "large"), port(bushing, "small"));
        assert_eq!(large.laying, port(pattern("3 coupling"), "in").socket);
        assert_eq!(small.face(), Point3::origin());
        assert_relative_eq!(small.stop.z, -0.75);
    }
}
