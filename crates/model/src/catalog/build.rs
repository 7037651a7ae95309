//! From the lengths of the catalog's file to ports in the pattern's frame.

use super::Catalog;
use super::family::Family;
use super::name::FittingName;
use super::pattern::{INLET, Pattern, Port, PortEnd, Swing};
use super::shape::{Fitting, RawPort, Shape};
use crate::label::Label;
use crate::units::{Grade, Length, NominalSize};
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
        let (down, up) = (-Vector3::z(), Vector3::z());
        let origin = Point3::origin();
        let (first, second, third) = (self.name.size(0), self.name.size(1), self.name.size(2));
        let family = self.name.family();
        Ok(match &self.fitting.shape {
            Shape::Bend { laying, out } => {
                // A closet bend is larger at the far end, and named by it.
                let enter = self.leg("in", second, down, *laying)?;
                let enter = if family.is_street() { self.spigot(enter)? } else { enter };
                let turn = self.bend_axis()?;
                (vec![enter, self.leg("out", first, turn, out.unwrap_or(*laying))?], Some(1), None)
            }
            Shape::Tee { up: above, down: below, branch } => {
                let mut ports =
                    vec![self.leg("down", first, down, *below)?, self.leg("up", second, up, *above)?];
                let threaded = matches!(family, Family::CleanoutTee | Family::TestTee);
                let out = self.leg("branch", third, self.side(), *branch)?;
                ports.push(if threaded {
                    Port { end: PortEnd::Thread, socket: Length::ZERO, ..out }
                } else {
                    out
                });
                if family == Family::DoubleSanitaryTee {
                    let side = self.side();
                    let other = Vector3::new(-side.x, 0.0, side.z);
                    ports.push(self.leg("opposite", self.name.size(3), other, *branch)?);
                }
                (ports, Some(1), None)
            }
            Shape::Wye { up: above, down: below, branch } => {
                let half = std::f64::consts::FRAC_1_SQRT_2;
                let out = self.leg("branch", third, Vector3::new(half, 0.0, half), *branch)?;
                let run = [self.leg("down", first, down, *below)?, self.leg("up", second, up, *above)?];
                ([run.to_vec(), vec![out]].concat(), Some(1), None)
            }
            Shape::Combination { up: above, down: below, branch, turn } => {
                if branch <= turn {
                    return Err(format!("its branch ends at {branch}, before it has turned at {turn}"));
                }
                let out = self.leg("branch", third, self.side(), *branch)?;
                let run = [self.leg("down", first, down, *below)?, self.leg("up", second, up, *above)?];
                ([run.to_vec(), vec![out]].concat(), Some(1), None)
            }
            Shape::Coupling { gap, socket, outside } => {
                let names = if family == Family::Reducer { ["large", "small"] } else { ["in", "out"] };
                let mut ports = vec![
                    self.leg(names[0], first, down, *gap / 2.0)?,
                    self.leg(names[1], second, up, *gap / 2.0)?,
                ];
                for port in &mut ports {
                    port.socket = socket.unwrap_or(port.socket);
                    port.outside = outside.unwrap_or(port.outside);
                }
                (ports, Some(1), None)
            }
            Shape::Bushing { stop } => {
                let large = self.spigot(self.leg("large", first, down, Length::ZERO)?)?;
                let mut small = self.leg("small", second, up, -*stop)?;
                if large.laying < *stop {
                    let (depth, length) = (stop.exact(), large.laying.exact());
                    return Err(format!(
                        "its small socket is {depth} deep, but the bushing is only {length} long"
                    ));
                }
                small.socket = *stop;
                (vec![large, small], Some(1), None)
            }
            Shape::Closure { .. } => {
                let hub = self.leg("in", first, down, Length::ZERO)?;
                (vec![if family == Family::Plug { self.spigot(hub)? } else { hub }], None, None)
            }
            Shape::Flange { stop, ring, .. } => {
                let mut below = self.leg("hub", second, down, *stop)?;
                if family == Family::SpigotClosetFlange {
                    let outside = self.outside(second)?;
                    below = Port {
                        name: Label::new("spigot"),
                        end: PortEnd::Spigot,
                        socket: Length::ZERO,
                        outside,
                        ..below
                    };
                }
                let above = Port {
                    name: Label::new("ring"),
                    end: PortEnd::Ring,
                    stop: origin,
                    axis: up,
                    socket: Length::ZERO,
                    laying: Length::ZERO,
                    outside: *ring,
                    ..below.clone()
                };
                (vec![below, above], Some(1), None)
            }
            Shape::Trap { outlet, spread, reach, depth } => {
                let riser = self.side();
                // Square to the riser, away from the outlet.
                let zero = Vector3::new(-riser.z, 0.0, riser.x);
                let foot = origin - riser * reach.to_inches() + zero * spread.to_inches();
                let mut inlet = self.leg(INLET, first, riser, Length::ZERO)?;
                inlet.stop = foot;
                let swing = Swing {
                    through: origin,
                    about: riser,
                    zero,
                    radius: *spread,
                    reach: *reach,
                    drop: *reach + depth.unwrap_or(*spread / 2.0),
                    angle: crate::units::Angle::ZERO,
                };
                (vec![self.leg("outlet", first, down, *outlet)?, inlet], Some(1), Some(swing))
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

    fn material(&self) -> Result<crate::catalog::material::Material, String> {
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
