//! One leg held against everything that is there: wood, keep-outs, other pipes, the faces of walls, the open room.

use super::slide::{Coupling, slid};
use super::stop::Stop;
use super::wood::{Hole, Wood};
use nalgebra::{Point2, Point3};
use truefall_check::bore::{Occupant, Occupants, Through};
use truefall_check::insert::Straight;
use truefall_check::query::Solid;
use truefall_model::catalog::material::Material;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::WallSpace;
use truefall_model::label::Label;
use truefall_model::place::{PartId, RunId};
use truefall_model::solid::Body;
use truefall_model::tolerance::TOUCH;
use truefall_model::units::{Length, NominalSize};

/// What stands at one end of a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegEnd {
    /// From the fitting's centre to where the piece stops.
    pub laying: f64,
    /// Depth of the socket.
    pub socket: f64,
    /// Half the outside of the hub.
    pub hub_radius: f64,
}

/// What a leg meets.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Met {
    /// Holes that may be drilled.
    pub holes: Vec<Hole>,
    /// What stands in the way.
    pub stops: Vec<Stop>,
    /// Couplings it takes to bring the pipe into its holes: inches from the fitting it starts at.
    pub couplings: Vec<f64>,
}

impl Met {
    /// Adds what another leg meets.
    pub fn add(&mut self, other: Self) {
        self.holes.extend(other.holes);
        self.stops.extend(other.stops);
        self.couplings.extend(other.couplings);
    }
}

/// Everything that is there before the route.
#[derive(Debug)]
pub struct Site<'a> {
    /// The house.
    pub framed: &'a Framed,
    /// Its wood.
    pub wood: Wood<'a>,
    /// What is built already, the fixture's own old run left out.
    pub built: Occupants,
    /// Its names, by part.
    pub names: Vec<Label>,
    /// Its runs, by part.
    pub runs: Vec<RunId>,
    /// What the route is made of.
    pub material: Material,
    /// Its size.
    pub size: NominalSize,
    /// Half the pipe's outside.
    pub pipe_radius: f64,
    /// What joins two pieces of it.
    pub coupling: Option<Coupling>,
}

impl Site<'_> {
    /// Holds a leg from one fitting's centre to the next against what is there. `skip` tells which parts it may touch.
    pub fn meet(
        &self,
        a: Point3<f64>,
        b: Point3<f64>,
        ends: (LegEnd, Option<LegEnd>),
        skip: &dyn Fn(PartId) -> bool,
    ) -> Met {
        let bodies = self.bodies(a, b, ends);
        let (holes, mut stops) = self.wood.holes(&bodies, self.material, self.size);
        for body in bodies.all.iter().map(|o| o.body) {
            for keep_out in &self.framed.keep_outs {
                let taken = Body::Cuboid { pose: keep_out.pose, half: keep_out.half };
                if let Some(deep) = overlap(&body, &taken) {
                    stops.push(Stop::KeepOut { label: keep_out.label.clone(), deep });
                }
            }
            for other in self.built.broad().near(&body, 0.0).into_iter().map(|i| &self.built.all[i]) {
                if skip(other.part) {
                    continue;
                }
                if let Some(deep) = overlap(&body, &other.body) {
                    stops.push(Stop::Pipe { label: self.names[other.part.0 as usize].clone(), deep });
                }
            }
        }
        stops.extend(self.proud(a, b, ends.1.is_some()));
        if ends.1.is_some() {
            stops.extend(self.in_room(a, b));
        }
        stops.dedup();
        let couplings = self.couplings(a, b, ends, &holes, &mut stops);
        Met { holes, stops, couplings }
    }

    /// Where the pipe of a leg is coupled so that it can be slid into its holes; a leg that may be bored by some other way is
    /// asked with those holes too.
    fn couplings(
        &self,
        a: Point3<f64>,
        b: Point3<f64>,
        (from, to): (LegEnd, Option<LegEnd>),
        holes: &[Hole],
        stops: &mut Vec<Stop>,
    ) -> Vec<f64> {
        let cut = stops.iter().filter_map(|s| match s {
            Stop::HoleTooLarge { member, .. } | Stop::EdgeTooThin { member, .. } => Some(*member),
            _ => None,
        });
        let bored = holes.iter().map(|h| h.member).chain(cut).collect();
        let way = (b - a).normalize();
        let pipe = Straight {
            a: a + way * from.laying,
            b: b - way * to.map_or(0.0, |end| end.laying),
            outside: Length::inches(2.0 * self.pipe_radius),
        };
        match slid(&pipe, &self.framed.members, &bored, self.coupling.as_ref()) {
            Ok(found) => found.into_iter().map(|at| at + from.laying).collect(),
            Err(long) => {
                stops.push(Stop::TooLong { piece: long.piece, longest: long.longest });
                Vec::new()
            }
        }
    }

    fn bodies(&self, a: Point3<f64>, b: Point3<f64>, (from, to): (LegEnd, Option<LegEnd>)) -> Occupants {
        let way = (b - a).normalize();
        let body = |part: u32, through, a, b, radius_in| Occupant {
            part: PartId(part),
            through,
            existing: false,
            body: Body::Cylinder { a, b, radius_in },
        };
        let near = a + way * from.laying;
        let mut all = vec![body(1, Through::Hub, near, near + way * from.socket, from.hub_radius)];
        let mut far = b;
        if let Some(to) = to {
            far = b - way * to.laying;
            all.push(body(2, Through::Hub, far - way * to.socket, far, to.hub_radius));
            all.push(body(2, Through::Fitting, far, b, self.pipe_radius));
        }
        all.push(body(0, Through::Pipe, near, far, self.pipe_radius));
        Occupants::new(all, [(PartId(0), PartId(1)), (PartId(0), PartId(2))])
    }

    /// What runs along a wall stays behind its faces.
    fn proud(&self, a: Point3<f64>, b: Point3<f64>, whole: bool) -> Option<Stop> {
        // An upright stands where it was set, in the middle of its wall.
        if !whole || (b - a).xy().norm() < 1e-6 {
            return None;
        }
        let middle = nalgebra::center(&a, &b);
        self.framed.walls.iter().find_map(|wall| {
            let (along, out) = wall.measure(middle.xy());
            let way = (b - a).xy().normalize();
            let inside = (0.0..=wall.length).contains(&along)
                && (-wall.depth..=0.0).contains(&out)
                && (wall.z0..=wall.z1).contains(&middle.z)
                && way.dot(&wall.into_room).abs() < std::f64::consts::FRAC_1_SQRT_2;
            let by = (out + self.pipe_radius).max(-wall.depth - out + self.pipe_radius);
            (inside && by > TOUCH.to_inches())
                .then(|| Stop::Proud { wall: wall.label.clone(), by: Length::inches(by) })
        })
    }

    /// Over a floor a leg stays in walls.
    fn in_room(&self, a: Point3<f64>, b: Point3<f64>) -> Option<Stop> {
        let z = 0.5 * (a.z + b.z);
        let floor = self
            .framed
            .floors
            .iter()
            .filter(|f| f.rough_z <= z + 1e-9)
            .max_by(|f, g| f.rough_z.total_cmp(&g.rough_z))?;
        let above = self.framed.floors.iter().filter(|f| f.rough_z > floor.rough_z);
        let ceiling = above.filter_map(|f| f.joists_bottom_z).fold(f64::INFINITY, f64::min);
        if z >= ceiling {
            return None;
        }
        let mut spans: Vec<(f64, f64)> = self
            .framed
            .walls
            .iter()
            .filter(|w| (w.z0..=w.z1).contains(&z))
            .filter_map(|w| inside(w, a.xy(), b.xy()))
            .collect();
        spans.sort_by(|x, y| x.0.total_cmp(&y.0));
        let reached =
            spans.iter().fold(0.0, |to: f64, (from, end)| if *from <= to + 1e-6 { to.max(*end) } else { to });
        (reached < 1.0 - 1e-6).then(|| Stop::InRoom { floor: floor.label.clone() })
    }
}

/// The stretch of a line on the plan that lies in a wall, as shares of its length; finishes count as wall.
fn inside(wall: &WallSpace, a: Point2<f64>, b: Point2<f64>) -> Option<(f64, f64)> {
    let (start, end) = (wall.measure(a), wall.measure(b));
    let (back, front) = (-wall.depth - wall.finish_back, wall.finish_room);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (s, e, low, high) in [(start.0, end.0, 0.0, wall.length), (start.1, end.1, back, front)] {
        if (e - s).abs() < 1e-9 {
            if s < low || s > high {
                return None;
            }
            continue;
        }
        let (one, other) = ((low - s) / (e - s), (high - s) / (e - s));
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    (from < to).then_some((from, to))
}

fn overlap(one: &Body, other: &Body) -> Option<Length> {
    let (one, other) = (Solid::new(one).ok()?, Solid::new(other).ok()?);
    if !one.within(&other, 0.0) {
        return None;
    }
    let deep = -one.separation(&other).distance_in;
    (deep > TOUCH.to_inches()).then(|| Length::inches(deep))
}
