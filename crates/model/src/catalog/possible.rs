//! What no fitting can be, whoever writes or measures it.

use super::family::Family;
use super::pattern::{Pattern, Port, PortEnd};
use crate::tolerance::{SLACK, at_least};
use crate::units::Length;

/// Axes closer to parallel than this never cross within a fitting (sine of the angle between them).
const PARALLEL: f64 = 0.1;

impl Pattern {
    /// Why there can be no such fitting, if there can't.
    pub(super) fn possible(&self) -> Result<(), String> {
        let enter = self.ports.get(self.enter).ok_or("it has no port towards the base")?;
        for port in &self.ports {
            port.possible()?;
        }
        if (enter.axis + nalgebra::Vector3::z()).norm() > SLACK {
            return Err(format!("its port `{}` towards the base must look along (0, 0, -1)", enter.name));
        }
        for (i, one) in self.ports.iter().enumerate() {
            for other in &self.ports[i + 1..] {
                apart(one, other)?;
                // The branch of a combination leaves its run on a 45 further down.
                if self.family != Family::Combination {
                    bores_clear(one, other)?;
                    bores_clear(other, one)?;
                }
            }
        }
        self.keeps_its_socket()?;
        self.holds_water()
    }

    /// A bushing has no more room for its small socket than its own length.
    fn keeps_its_socket(&self) -> Result<(), String> {
        let (Family::Bushing, [large, small]) = (self.family, self.ports.as_slice()) else { return Ok(()) };
        let deep = small.socket.max(-small.laying);
        if !at_least(large.laying, deep) {
            let (deep, long) = (deep.exact(), large.laying.exact());
            return Err(format!("its small socket is {deep} deep, but the bushing is only {long} long"));
        }
        Ok(())
    }

    fn holds_water(&self) -> Result<(), String> {
        let (Some(swing), Some(seal)) = (self.swing, self.seal()) else { return Ok(()) };
        let bore = self.ports[self.enter].bore;
        if swing.radius <= bore || swing.drop - swing.reach < swing.radius / 2.0 {
            return Err(format!("a U of {bore} bore can't turn within {}", swing.radius));
        }
        if seal <= Length::ZERO {
            return Err(format!("its seal would be {}, which holds no water", seal.exact()));
        }
        Ok(())
    }
}

impl Port {
    fn possible(&self) -> Result<(), String> {
        let off = (self.axis.norm() - 1.0).abs();
        if off.is_nan() || off > SLACK {
            return Err(format!(
                "the axis of `{}` is {} long; a unit vector is needed",
                self.name,
                self.axis.norm()
            ));
        }
        if self.end == PortEnd::Hub && self.socket <= Length::ZERO {
            return Err(format!("the socket of `{}` is {} deep", self.name, self.socket.exact()));
        }
        if !(self.bore > Length::ZERO && self.outside > self.bore) {
            let (name, outside, bore) = (&self.name, self.outside.exact(), self.bore.exact());
            return Err(format!(
                "`{name}` is {outside} outside, which leaves no wall about a bore of {bore}"
            ));
        }
        if self.end == PortEnd::Hub && self.laying + self.socket < Length::ZERO {
            return Err(format!(
                "the socket of `{}` is {} deep, but its face lies {} on the wrong side of the centre",
                self.name,
                self.socket.exact(),
                (self.laying + self.socket).abs().exact()
            ));
        }
        Ok(())
    }
}

fn apart(one: &Port, other: &Port) -> Result<(), String> {
    if one.name == other.name {
        return Err(format!("two of its ports are called `{}`", one.name));
    }
    let between = other.stop - one.stop;
    let off_axis = (between - one.axis * between.dot(&one.axis)).norm();
    if one.axis.dot(&other.axis) > 1.0 - SLACK && off_axis < SLACK {
        return Err(format!("its ports `{}` and `{}` lie on one axis", one.name, other.name));
    }
    Ok(())
}

/// The leg of `one` must be long enough that its bore has parted from the bore of `other`.
///
/// With half bores a and b and the angle t between the axes, the walls in the crotch meet (b + a cos t) / sin t along
/// the leg: b for a square tee, a / tan 22.5 degrees for a full-size wye.
fn bores_clear(one: &Port, other: &Port) -> Result<(), String> {
    let (cos, sin) = (one.axis.dot(&other.axis), one.axis.cross(&other.axis).norm());
    if sin < PARALLEL || (one.foot() - other.foot()).norm() > SLACK {
        return Ok(());
    }
    let least = (other.bore / 2.0 + one.bore / 2.0 * cos) / sin;
    if !at_least(one.laying, least) {
        return Err(format!(
            "the leg of `{}` is {} to its stop, but it leaves the bore of `{}` only at {:.3}",
            one.name,
            one.laying.exact(),
            other.name,
            least.to_inches()
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::Catalog;
    use super::super::pattern::PatternError;
    use crate::units::Length;

    #[track_caller]
    fn refused(entry: &str, reason: &str) {
        let text = format!("[Fitting({entry}, materials: [pvc], status: measured, source: \"a tape\")]");
        let faults = Catalog::with_overrides(&[("patterns.ron".to_owned(), text)]).unwrap_err();
        let said = faults.to_string();
        assert!(said.starts_with("patterns.ron:1:2: [0]: ") && said.contains(reason), "{said}");
    }

    // Half the bore over tan 22.5 degrees: 2.067 / 2 / 0.41421 = 2.495.
    #[test]
    fn a_wye_leg_shorter_than_its_bores_allow_is_refused() {
        let shape =
            |leg| format!("name: \"2 wye\", shape: Wye(up: \"{leg}\", down: \"3/4\", branch: \"2 3/4\")");
        refused(
            &shape("2 7/16"),
            "the leg of `up` is 2 7/16 to its stop, but it leaves the bore of `branch` only at 2.495",
        );
        let text =
            format!("[Fitting({}, materials: [pvc], status: measured, source: \"a tape\")]", shape("2 1/2"));
        assert!(Catalog::with_overrides(&[("patterns.ron".to_owned(), text)]).is_ok());
    }

    #[test]
    fn a_tee_branch_that_stops_inside_its_run_is_refused() {
        refused(
            "name: \"3 sanitary tee\", shape: Tee(up: \"2\", down: \"3 1/16\", branch: \"1 1/2\")",
            "the leg of `branch` is 1 1/2 to its stop, but it leaves the bore of `down`",
        );
    }

    #[test]
    fn a_socket_deeper_than_its_fitting_is_refused() {
        refused(
            "name: \"2x1-1/2 bushing\", shape: Bushing(stop: \"7/8\")",
            "7/8 deep, but the bushing is only 3/4 long",
        );
        refused(
            "name: \"2 combination\", shape: Combination(up: \"-1\", down: \"4\", branch: \"5\", turn: \"3\")",
            "the socket of `up` is 3/4 deep, but its face lies 1/4 on the wrong side",
        );
    }

    #[test]
    fn a_trap_without_seal_and_a_combination_without_turn_are_refused() {
        refused(
            "name: \"2 p-trap\", shape: Trap(outlet: \"2 5/16\", spread: \"4 5/8\", reach: \"-1/2\")",
            "holds no water",
        );
        refused(
            "name: \"2 p-trap\", shape: Trap(outlet: \"2 5/16\", spread: \"2\", reach: \"3\")",
            "can't turn within 2\"",
        );
        refused(
            "name: \"2 combination\", shape: Combination(up: \"0\", down: \"4\", branch: \"3\", turn: \"3 1/2\")",
            "before it has turned",
        );
    }

    #[test]
    fn a_fitting_in_the_shape_of_another_is_refused() {
        refused(
            "name: \"2 wye\", shape: Tee(up: \"2\", down: \"2\", branch: \"2\")",
            "a wye has another shape",
        );
        refused("name: \"2 coupling\", shape: Coupling(gap: \"-1/4\")", "1/4 past each other");
    }

    #[track_caller]
    fn ports_refused(second: &str, reason: &str) {
        let first = "RawPort(name: \"a\", size: \"2\", stop: (0.0, 0.0, -2.0), axis: (0.0, 0.0, -1.0), laying: \"2\")";
        refused(&format!("name: \"2 coupling\", shape: Ports(ports: [{first}, {second}])"), reason);
    }

    #[test]
    fn ports_that_no_part_can_have_are_refused() {
        ports_refused(
            "RawPort(name: \"b\", size: \"2\", stop: (0.0, 0.0, -3.0), axis: (0.0, 0.0, -1.0), laying: \"3\")",
            "`a` and `b` lie on one axis",
        );
        ports_refused(
            "RawPort(name: \"b\", size: \"2\", stop: (0.0, 0.0, 2.0), axis: (0.0, 0.5, 0.5), laying: \"2\")",
            "a unit vector is needed",
        );
        ports_refused(
            "RawPort(name: \"a\", size: \"2\", stop: (0.0, 0.0, 2.0), axis: (0.0, 0.0, 1.0), laying: \"2\")",
            "two of its ports are called `a`",
        );
        ports_refused(
            "RawPort(name: \"b\", size: \"2\", stop: (0.0, 0.0, 2.0), axis: (0.0, 0.0, 1.0), laying: \"2\", socket: \"0\")",
            "the socket of `b` is 0 deep",
        );
    }

    #[test]
    fn a_measurement_in_the_hand_moves_one_port_and_is_held_to_the_same() {
        let tee = Catalog::builtin().pattern("3x3x2 sanitary tee").unwrap();
        let measured = tee.with_laying("branch", Length::inches(2.75), Some(Length::inches(0.8))).unwrap();
        let branch = &measured.ports[measured.port("branch").unwrap()];
        assert!((branch.stop.coords.norm() - 2.75).abs() < 1e-12);
        assert!((branch.face().coords.norm() - 3.55).abs() < 1e-12);
        assert_eq!(measured.ports[0], tee.ports[0]);
        let too_short = tee.with_laying("branch", Length::inches(1.0), None);
        assert!(matches!(too_short, Err(PatternError::Impossible { .. })), "{too_short:?}");
        let bushing = Catalog::builtin().pattern("2x1-1/2 bushing").unwrap();
        let too_deep =
            bushing.with_laying("small", Length::inches(-0.9), Some(Length::inches(0.9))).unwrap_err();
        assert!(too_deep.to_string().contains("the bushing is only 3/4 long"), "{too_deep}");
        let unknown = tee.with_laying("side", Length::inches(3.0), None).unwrap_err();
        assert_eq!(unknown.to_string(), "3x3x2 sanitary tee has no port `side`; allowed: down, up, branch");
    }
}
