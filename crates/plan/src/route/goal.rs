//! Where a route may end: at the fixture, in the way its kind asks.

use super::leg::LegEnd;
use super::lines::{Line, headings};
use super::riser::Riser;
use super::turn::pattern;
use nalgebra::{Point2, Vector2};
use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::material::Material;
use truefall_model::framing::frame::Framed;
use truefall_model::job::fixture::{Fixture, FixtureKind};
use truefall_model::label::Label;
use truefall_model::units::NominalSize;

/// How far under a fixture's outlet a weir or bend may be looked for where no figure says, inches.
const REACH_DOWN_IN: f64 = 24.0;

/// Where a route may end.
#[derive(Debug, Clone, PartialEq)]
pub enum Goal {
    /// Through a wall: turned into the room on this line, out to the finished face.
    Wall {
        /// The wall.
        wall: Label,
        /// The fixture's place along it.
        along: f64,
        /// Where the line crosses the finished face.
        face: Point2<f64>,
        /// Out of the wall.
        out: Vector2<f64>,
        /// Height wanted at the face.
        z: f64,
        /// How far off it may be.
        tolerance: f64,
    },
    /// A fitting under the fixture that turns up: a trap swung to it, or a closet's bend.
    Under {
        /// What is put there.
        pattern: String,
        /// The flange on a closet's bend.
        flange: Option<String>,
        /// A street bend stood on its hub: entered by it, its spigot home in the flange, so that its height is fixed.
        street: bool,
        /// Where its centre may be, and which way its inlet is swung then; none where it turns straight up.
        spots: Vec<(Point2<f64>, Option<Vector2<f64>>)>,
        /// Least and greatest height of its centre.
        z: (f64, f64),
        /// What the last leg ends in.
        end: LegEnd,
    },
    /// The foot of a riser, under the floor.
    Feet {
        /// The bend at the foot.
        foot: String,
        /// What the last leg ends in.
        end: LegEnd,
        /// The risers.
        risers: Vec<Riser>,
        /// Least and greatest height of the foot's centre.
        z: (f64, f64),
    },
}

impl Goal {
    /// Of a fixture; why not, in words, where its place is not told well enough.
    pub fn of(
        fixture: &Fixture,
        framed: &Framed,
        (catalog, profile): (&Catalog, &Profile),
        material: Material,
        size: NominalSize,
    ) -> Result<Self, String> {
        let usual = catalog.rough_in(fixture.kind.word()).ok_or("the catalog has no rough-in of its kind")?;
        let floor = framed.floor(&fixture.floor).ok_or("its floor is not known")?;
        let at = framed.point(&fixture.at.0).ok_or("its place is not told by itself")?;
        let outlet = match &fixture.outlet {
            Some(height) => framed.height(height).ok_or("its outlet's floor is not known")?,
            None => floor.finished_z + usual.outlet.value.to_inches(),
        };
        if fixture.kind.through_wall() {
            let wall = fixture.wall.as_ref().and_then(|w| framed.wall(w)).ok_or("it names no wall")?;
            let (along, _) = wall.measure(at);
            let tolerance = fixture.tolerance.unwrap_or(usual.tolerance.value).to_inches();
            return Ok(Self::Wall {
                wall: wall.label.clone(),
                along,
                face: wall.at(along, wall.finish_room),
                out: wall.into_room,
                z: outlet,
                tolerance,
            });
        }
        if fixture.kind == FixtureKind::Closet {
            let bend = pattern(catalog, Family::QuarterBend, material, &[size])
                .ok_or("the catalog has no bend for it")?;
            let flange = pattern(catalog, Family::ClosetFlange, material, &[size])
                .ok_or("the catalog has no flange for it")?;
            let (leg, ring) = (&bend.ports[bend.enter], &flange.ports[flange.enter]);
            let least = leg.stop.coords.norm()
                + leg.socket.to_inches()
                + ring.socket.to_inches()
                + ring.stop.coords.norm();
            return Ok(Self::Under {
                pattern: bend.name.to_string(),
                flange: Some(flange.name.to_string()),
                street: false,
                spots: vec![(at, None)],
                z: (floor.finished_z - least - REACH_DOWN_IN, floor.finished_z - least),
                end: end(
                    bend.ports[bend.enter].stop.coords.norm(),
                    leg.socket.to_inches(),
                    leg.outside.to_inches(),
                ),
            });
        }
        let trap =
            pattern(catalog, Family::PTrap, material, &[size]).ok_or("the catalog has no trap for it")?;
        let swing = trap.swing.ok_or("its trap can't be swung")?;
        let inlet = &trap.ports[trap.port("inlet").map_err(|e| e.to_string())?];
        let outlet_port = &trap.ports[trap.enter];
        let up = (inlet.stop - swing.through).dot(&swing.about) + inlet.socket.to_inches();
        let z = match fixture.kind {
            FixtureKind::WasherBox => {
                let rim = match &fixture.rim {
                    Some(height) => framed.height(height).ok_or("its rim's floor is not known")?,
                    None => floor.finished_z + usual.rim.value.to_inches(),
                };
                let (least, most) = (profile.figure("standpipe-min"), profile.figure("standpipe-max"));
                (rim - most.value, rim - least.value)
            }
            kind => {
                // The limit is counted from the finished floor or the rim, the trap hung from where the waste takes it.
                let rim = fixture.rim.as_ref().filter(|_| kind == FixtureKind::FloorDrain);
                let top = rim.and_then(|rim| framed.height(rim)).unwrap_or(floor.finished_z);
                (top - profile.figure("outlet-to-weir").value + 1.0, outlet - up)
            }
        };
        let radius = swing.radius.to_inches();
        let base = fixture.wall.as_ref().and_then(|w| framed.wall(w)).map_or(Vector2::x(), |w| w.along);
        Ok(Self::Under {
            pattern: trap.name.to_string(),
            flange: None,
            street: false,
            spots: headings(base).step_by(2).map(|to| (at - to * radius, Some(to))).collect(),
            z,
            end: end(
                outlet_port.stop.coords.norm(),
                outlet_port.socket.to_inches(),
                outlet_port.outside.to_inches(),
            ),
        })
    }

    /// A closet's other end: a street 1/4 bend with its spigot in the flange, where there is no height for a piece between. Its
    /// height is that of the flange, give or take what the fixture bears.
    pub fn street(
        fixture: &Fixture,
        framed: &Framed,
        catalog: &Catalog,
        material: Material,
        size: NominalSize,
    ) -> Option<Self> {
        if fixture.kind != FixtureKind::Closet {
            return None;
        }
        let usual = catalog.rough_in(fixture.kind.word())?;
        let floor = framed.floor(&fixture.floor)?;
        let bend = pattern(catalog, Family::StreetQuarterBend, material, &[size])?;
        let flange = pattern(catalog, Family::ClosetFlange, material, &[size])?;
        let (hub, spigot) = (&bend.ports[bend.leave?], &bend.ports[bend.enter]);
        let drop = spigot.stop.coords.norm() + flange.ports[flange.enter].stop.coords.norm();
        let centre = floor.finished_z - drop;
        let bears = fixture.tolerance.unwrap_or(usual.tolerance.value).to_inches();
        Some(Self::Under {
            pattern: bend.name.to_string(),
            flange: Some(flange.name.to_string()),
            street: true,
            spots: vec![(framed.point(&fixture.at.0)?, None)],
            z: (centre - bears, centre + bears),
            end: end(hub.stop.coords.norm(), hub.socket.to_inches(), hub.outside.to_inches()),
        })
    }

    /// The points a route may end at, for lines through them.
    pub fn points(&self) -> Vec<Point2<f64>> {
        match self {
            Self::Wall { .. } => Vec::new(),
            Self::Under { spots, .. } => spots.iter().map(|s| s.0).collect(),
            Self::Feet { risers, .. } => risers.iter().map(|r| r.at).collect(),
        }
    }

    /// The line a route through a wall ends on.
    pub fn line(&self) -> Option<Line> {
        match self {
            Self::Wall { face, out, .. } => Some(Line { through: *face, way: *out }),
            Self::Under { .. } | Self::Feet { .. } => None,
        }
    }

    /// Points that every way to it costs beside its legs.
    pub fn least_cost(&self) -> f64 {
        match self {
            Self::Wall { .. } | Self::Under { .. } => 0.0,
            Self::Feet { risers, .. } => risers.iter().map(|r| r.cost).fold(f64::INFINITY, f64::min),
        }
    }

    /// Level distance that is left at least.
    pub fn distance(&self, from: Point2<f64>) -> f64 {
        match self {
            Self::Wall { face, .. } => (face - from).norm(),
            Self::Under { .. } | Self::Feet { .. } => {
                self.points().iter().map(|p| (p - from).norm()).fold(f64::INFINITY, f64::min)
            }
        }
    }

    /// Least and greatest height at the end.
    pub fn heights(&self) -> (f64, f64) {
        match self {
            Self::Wall { z, tolerance, .. } => (z - tolerance, z + tolerance),
            Self::Under { z, .. } | Self::Feet { z, .. } => *z,
        }
    }

    /// Whether a fitting at a spot may be entered by a heading: a trap is not swung back over its own arm.
    pub fn takes(&self, spot: usize, heading: Vector2<f64>) -> bool {
        match self {
            Self::Wall { .. } | Self::Feet { .. } => true,
            Self::Under { spots, .. } => spots[spot].1.is_none_or(|to| to.dot(&heading) > -0.75),
        }
    }
}

fn end(laying: f64, socket: f64, outside: f64) -> LegEnd {
    LegEnd { laying, socket, hub_radius: outside / 2.0 }
}
