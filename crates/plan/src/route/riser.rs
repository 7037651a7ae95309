//! Going under: a riser that comes up through the floor into the fixture's wall, with a tee at its top that the arm hangs on
//! and its own air above it.
//!
//! An arm may not drop before its vent, so a drain that runs under the floor rises to a sanitary tee behind the fixture; the
//! tee's run goes on up as the vent, out through the roof, or to an air admittance valve where the code has those.
//! What stands above the tee is the same whatever way the drain takes to its foot, so it is held against the house once.

use super::cost::Weights;
use super::goal::Goal;
use super::leg::{LegEnd, Met, Site};
use super::turn::{Bend, pattern, rising_bend};
use crate::trial::Bench;
use nalgebra::{Point2, Point3, Vector2};
use truefall_model::catalog::family::Family;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::framing::space::WallSpace;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// The farthest a foot may hang under the rough floor, inches.
const DEEPEST_IN: f64 = 48.0;
/// The most bays on either side that are looked at.
const MOST_BAYS: usize = 6;
/// A room is taken to be this high where nothing above ends it, inches.
const ROOM_IN: f64 = 90.0;
/// How finely an upright vent is looked along for rooms it would stand in, inches.
const STEP_IN: f64 = 6.0;

/// What lets air in above a riser's tee.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Air {
    /// Straight up and out through the roof.
    Roof,
    /// A valve at this height, behind a panel.
    Valve(f64),
}

/// A riser and what hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Riser {
    /// Its axis on the plan.
    pub at: Point2<f64>,
    /// Height of its tee's centre.
    pub tee_z: f64,
    /// The tee.
    pub tee: String,
    /// The tee's lower hub.
    pub down: LegEnd,
    /// Where the tee's branch heads.
    pub heading: Vector2<f64>,
    /// Level length of the arm from the tee's centre.
    pub level: f64,
    /// The arm's fittings with their places.
    pub arm: Vec<(String, Point2<f64>)>,
    /// Where air comes in.
    pub air: Air,
    /// What arm and vent meet.
    pub met: Met,
    /// Points of all that stands above the foot but the pipe down to it.
    pub cost: f64,
    /// Where it stands, in words.
    pub words: String,
}

/// The goal of a drain that goes under the floor to a fixture that drains through a wall; none where it can't.
pub fn feet(
    bench: &Bench<'_>,
    site: &Site<'_>,
    goal: &Goal,
    (bends, grade, weights): (&[Bend], f64, &Weights),
) -> Option<Goal> {
    let Goal::Wall { wall, along, face, out, z, .. } = goal else { return None };
    let wall = site.framed.wall(wall)?;
    let floor = site.framed.floors.iter().filter(|f| f.rough_z <= *z).map(|f| f.rough_z).reduce(f64::max)?;
    let foot = rising_bend(bench.catalog, bench.profile, site.material, site.size)?;
    let tee = pattern(bench.catalog, Family::SanitaryTee, site.material, &[site.size, site.size, site.size])?;
    let quarter = bends.iter().find(|b| b.steps == 4);
    let longest = bench.profile.for_size("trap-arm-length", site.size).map_or(60.0, |f| f.value);
    let making = Making { bench, site, wall, tee, weights };
    let middle = -wall.depth / 2.0;
    let mut risers = Vec::new();
    let straight = wall.at(*along, middle);
    risers.extend(making.riser(straight, *out, &[], (straight, *face), *z, grade));
    if let Some(bend) = quarter {
        let mut bays = bays(site, wall, *z);
        bays.sort_by(|a, b| (a - along).abs().total_cmp(&(b - along).abs()));
        let near = bays.into_iter().filter(|bay| (bay - along).abs() < longest).take(2 * MOST_BAYS);
        for bay in near {
            let (at, turn) = (wall.at(bay, middle), wall.at(*along, middle));
            let Some(heading) = (turn - at).try_normalize(3.0) else { continue };
            risers.extend(making.riser(at, heading, &[(bend, turn)], (at, *face), *z, grade));
        }
    }
    if risers.is_empty() {
        return None;
    }
    let laying = foot.laying.to_inches() + foot.socket.to_inches();
    Some(Goal::Feet {
        foot: foot.pattern.clone(),
        end: LegEnd {
            laying: foot.laying.to_inches(),
            socket: foot.socket.to_inches(),
            hub_radius: foot.hub.to_inches() / 2.0,
        },
        risers,
        z: (floor - DEEPEST_IN, floor - laying),
    })
}

/// The middles of a wall's bays at a height, along it.
fn bays(site: &Site<'_>, wall: &WallSpace, z: f64) -> Vec<f64> {
    let mut wood: Vec<(f64, f64)> = site
        .framed
        .members
        .iter()
        .filter(|m| m.wall == Some(wall.id) && m.kind.is_upright())
        .filter(|m| (m.bounds().0.z..=m.bounds().1.z).contains(&z))
        .map(|m| (wall.measure(m.centre().xy()).0, m.half.x))
        .map(|(at, half)| (at - half, at + half))
        .collect();
    wood.sort_by(|a, b| a.0.total_cmp(&b.0));
    wood.windows(2).filter(|w| w[1].0 - w[0].1 > 4.0).map(|w| 0.5 * (w[0].1 + w[1].0)).collect()
}

/// What all risers of one search share.
struct Making<'a> {
    bench: &'a Bench<'a>,
    site: &'a Site<'a>,
    wall: &'a WallSpace,
    tee: &'a Pattern,
    weights: &'a Weights,
}

fn port(tee: &Pattern, at: usize) -> LegEnd {
    let port = &tee.ports[at];
    LegEnd {
        laying: port.stop.coords.norm(),
        socket: port.socket.to_inches(),
        hub_radius: port.outside.to_inches() / 2.0,
    }
}

impl Making<'_> {
    fn riser(
        &self,
        at: Point2<f64>,
        heading: Vector2<f64>,
        bends: &[(&Bend, Point2<f64>)],
        (from, face): (Point2<f64>, Point2<f64>),
        z: f64,
        grade: f64,
    ) -> Option<Riser> {
        let (site, w) = (self.site, self.weights);
        let mut stops: Vec<Point2<f64>> = bends.iter().map(|b| b.1).collect();
        stops.push(face);
        let ways = std::iter::once(from).chain(stops.iter().copied()).collect::<Vec<_>>();
        let level: f64 = ways.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
        let tee_z = z - grade * level;
        let mut met = Met::default();
        let mut arm: Vec<(String, Point2<f64>)> = Vec::new();
        let (mut behind, mut last) = (0.0, port(self.tee, 2));
        for (i, pair) in ways.windows(2).enumerate() {
            let bend = bends.get(i);
            let end = bend.map(|(bend, _)| LegEnd {
                laying: bend.laying.to_inches(),
                socket: bend.socket.to_inches(),
                hub_radius: bend.hub.to_inches() / 2.0,
            });
            let long = (pair[1] - pair[0]).norm();
            let room = |end: LegEnd| end.laying + end.socket + 0.005;
            if long < room(last) + end.map_or(0.0, room) {
                return None;
            }
            let place = |p: Point2<f64>, level: f64| Point3::new(p.x, p.y, tee_z + grade * level);
            let (a, b) = (place(pair[0], behind), place(pair[1], behind + long));
            let own = site.meet(a, b, (last, end), &|_| false);
            if let Some(coupling) = &site.coupling {
                let way = (pair[1] - pair[0]).normalize();
                arm.extend(own.couplings.iter().map(|c| (coupling.pattern.clone(), pair[0] + way * *c)));
            }
            arm.extend(bend.map(|(bend, p)| (bend.pattern.clone(), *p)));
            met.add(own);
            behind += long;
            if let Some(end) = end {
                last = end;
            }
        }
        let (air, above) = self.air(at, tee_z)?;
        met.add(above.0);
        if !met.stops.is_empty() {
            return None;
        }
        let holes: f64 = met.holes.iter().map(|h| w.bore(h.used, h.hole, h.plates)).sum();
        let joints = 4 + 2 * arm.len();
        let cost = holes + w.joint * joints as f64 + w.pipe(Length::inches(level)) + above.1;
        let (along, _) = self.wall.measure(at);
        Some(Riser {
            at,
            tee_z,
            tee: self.tee.name.to_string(),
            down: port(self.tee, 0),
            heading,
            level,
            arm,
            air,
            met,
            cost,
            words: format!("up in {} at {}", self.wall.label, Length::inches(along)),
        })
    }

    /// Where air comes in above a tee, what the pipe there meets, and its points.
    fn air(&self, at: Point2<f64>, tee_z: f64) -> Option<(Air, (Met, f64))> {
        let w = self.weights;
        let leave = self.tee.leave?;
        let foot = Point3::new(at.x, at.y, tee_z);
        let up = |z: f64| {
            self.site.meet(foot, Point3::new(at.x, at.y, z), (port(self.tee, leave), None), &|_| false)
        };
        if let Some((_, roof)) = self.site.framed.roof_over(at.x, at.y)
            && !self.stands_in_a_room(at, tee_z, roof)
        {
            let met = up(roof);
            if met.stops.is_empty() {
                let points = w.roof + w.pipe(Length::inches(roof + 12.0 - tee_z));
                return Some((Air::Roof, (met, points)));
            }
        }
        let profile = self.bench.profile;
        let over = profile.find("valve-over-drain").filter(|_| profile.has_valves())?.value;
        let z = tee_z + over + 4.0;
        let met = up(z + 4.0);
        (met.stops.is_empty() && z + 4.0 < self.wall.z1)
            .then(|| (Air::Valve(z), (met, w.valve + w.joint * 2.0 + w.pipe(Length::inches(z - tee_z)))))
    }

    /// Whether an upright pipe comes through a room without a wall round it.
    fn stands_in_a_room(&self, at: Point2<f64>, from: f64, to: f64) -> bool {
        let framed = self.site.framed;
        let walled = |z: f64| {
            framed.walls.iter().any(|w| {
                let (along, out) = w.measure(at);
                (0.0..=w.length).contains(&along)
                    && (-w.depth..=0.0).contains(&out)
                    && (w.z0..=w.z1).contains(&z)
            })
        };
        let steps = ((to - from) / STEP_IN).max(0.0) as usize;
        (1..steps).map(|i| from + i as f64 * STEP_IN).any(|z| {
            let room = framed.floors.iter().any(|floor| {
                let inside = floor.outline.is_none_or(|(low, high)| {
                    (low.x..=high.x).contains(&at.x) && (low.y..=high.y).contains(&at.y)
                });
                inside && z > floor.rough_z && z < floor.rough_z + ROOM_IN
            });
            room && !walled(z)
        })
    }
}

/// A name no run of the job has.
pub fn drain_name(job: &truefall_model::job::Job, fixture: &Label) -> Label {
    let taken = |name: &Label| {
        job.branches.iter().any(|b| b.name == *name) || job.stacks.iter().any(|s| s.name == *name)
    };
    let words = ["drain", "riser", "low drain", "under-floor drain"];
    let named = words.iter().map(|word| Label::new(format!("{fixture} {word}"))).find(|n| !taken(n));
    named.unwrap_or_else(|| Label::new(format!("{fixture} drain under the floor")))
}
