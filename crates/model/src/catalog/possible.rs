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
        self.holds_water()
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
        if !((self.axis.norm() - 1.0).abs() <= SLACK) {
            return Err(format!(
                "the axis of `{}` is {} long; a unit vector is needed",
                self.name,
                self.axis.norm()
            ));
        }
        if self.end == PortEnd::Hub && !(self.socket > Length::ZERO) {
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
