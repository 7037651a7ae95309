//! One member and the bodies in it: which of them one hole or notch lets through, and which nothing does.
//!
//! A body counts as in the wood when it overlaps by more than [`TOUCH`]. What runs within 45 degrees of the way through
//! the member (its thickness) and lies on one line with what it is joined to is one passage; it is a bore when the line
//! is filled from face to face. A body that is joined to the passage and stays within its hole, such as the start of a
//! bend, passes with it. Anything else is a clash: it runs along the member, bends inside it or ends in it. Of a clash
//! and a bore that are joined in one member only the clash is told, for the hole alone would not make way.

use super::drill::Passage;
use super::hole::{Bore, Drilled, WhyNot, WoodClash};
use super::occupant::{Occupant, Occupants};
use super::section::{Cut, Shape};
use crate::query::Solid;
use nalgebra::{Point3, Vector3};
use std::f64::consts::FRAC_1_SQRT_2;
use truefall_model::framing::member::{Member, MemberKind};
use truefall_model::job::Placement;
use truefall_model::place::PartId;
use truefall_model::solid::{Body, CHORD_ERROR_IN};
use truefall_model::tolerance::{SLACK, TOUCH, order};
use truefall_model::units::{Angle, Length};

/// Two bodies on one line may differ by this much in direction: a socket gives no more than some 2 degrees before the
/// glue takes (common practice), and a bend's first piece starts at more than 4.
const IN_LINE_DEGREES: f64 = 3.0;

/// And by this much where they cross mid-thickness: the play of a pipe in its customary hole is less (common practice).
const IN_LINE_OFF_IN: f64 = 0.25;

/// What the bodies in one member come to.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MemberPassages {
    /// Holes and notches.
    pub bores: Vec<Bore>,
    /// What no hole or notch makes.
    pub clashes: Vec<WoodClash>,
}

/// A body in the wood, in the member's own axes.
struct Hit<'o> {
    occupant: &'o Occupant,
    /// How deep, and where.
    depth: f64,
    at: Point3<f64>,
    /// Of a cylinder: its ends and radius.
    line: Option<Line>,
}

#[derive(Clone, Copy)]
struct Line {
    a: Point3<f64>,
    b: Point3<f64>,
    radius: f64,
    /// Along it, towards +x.
    way: Vector3<f64>,
}

impl Line {
    fn of(body: &Body, member: &Member) -> Option<Self> {
        let Body::Cylinder { a, b, radius_in } = *body else { return None };
        let (a, b) = (member.pose.inverse_transform_point(&a), member.pose.inverse_transform_point(&b));
        let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
        let way = (b - a).try_normalize(0.0)?;
        Some(Self { a, b, radius: radius_in, way })
    }

    /// Within 45 degrees of the way through.
    fn goes_through(&self) -> bool {
        self.way.x >= FRAC_1_SQRT_2 - SLACK
    }

    /// Where its axis, carried on, crosses mid-thickness.
    fn crossing(&self) -> Point3<f64> {
        self.a - self.way * (self.a.x / self.way.x)
    }

    fn in_line_with(&self, other: &Self) -> bool {
        self.way.angle(&other.way).to_degrees() <= IN_LINE_DEGREES
            && (self.crossing() - other.crossing()).norm() <= IN_LINE_OFF_IN
    }

    /// The stretch of its axis between the faces, or the point of it nearest to them.
    fn inside(&self, half_thickness: f64) -> [Point3<f64>; 2] {
        let at = |x: f64| {
            let run = self.b.x - self.a.x;
            let t = if run > SLACK { ((x - self.a.x) / run).clamp(0.0, 1.0) } else { 0.0 };
            self.a + (self.b - self.a) * t
        };
        if self.b.x - self.a.x <= SLACK {
            [self.a, self.b]
        } else {
            [at(-half_thickness), at(half_thickness)]
        }
    }

    /// How far from this line's axis, carried on, a point is.
    fn off(&self, point: Point3<f64>) -> f64 {
        (point - self.a).cross(&self.way).norm()
    }
}

/// Sorts out the bodies near one member. `near` are places in the list of occupants; `drill` says which hole is drilled.
pub fn in_member(
    placement: Placement,
    member: &Member,
    occupants: &Occupants,
    near: &[usize],
    drill: &dyn Fn(&Passage<'_>) -> Drilled,
) -> MemberPassages {
    let hits = hits(member, occupants, near);
    let joined = |i: usize, k: usize| occupants.are_joined(hits[i].occupant.part, hits[k].occupant.part);
    let in_line = |i: usize, k: usize| {
        let through = |n: usize| hits[n].line.filter(Line::goes_through);
        joined(i, k)
            && match (through(i), through(k)) {
                (Some(one), Some(other)) => member.kind == MemberKind::Subfloor || one.in_line_with(&other),
                _ => false,
            }
    };
    let all: Vec<usize> = (0..hits.len()).collect();
    let mut found = MemberPassages::default();
    let mut left = Vec::new();
    let mut holes: Vec<Vec<usize>> = Vec::new();
    for group in together(&all, in_line) {
        if passes(member, &hits, &group) { holes.push(group) } else { left.extend(group) }
    }
    left.sort_unstable();
    let mut bores = Vec::new();
    for group in holes {
        let bore = bore(placement, member, &hits, &group, drill);
        let stays = |i: &usize| {
            group.iter().any(|k| joined(*i, *k))
                && (member.kind == MemberKind::Subfloor
                    || within_hole(&hits[*i], &hits, &group, member, &bore))
        };
        let (inside, outside): (Vec<usize>, Vec<usize>) = left.iter().partition(|i| stays(i));
        left = outside;
        bores.push((bore, group, inside));
    }
    let stuck = left.clone();
    for group in together(&stuck, joined) {
        found.clashes.push(clash(placement, member, &hits, &group, WhyNot::NoPassage));
    }
    for (mut bore, group, inside) in bores {
        let mut group = group;
        group.extend(inside);
        if stuck.iter().any(|i| group.iter().any(|k| joined(*i, *k))) {
            continue;
        }
        bore.parts = parts(&hits, &group);
        if bore.cut.shape == Shape::Severed && !member.kind.is_flat() {
            let why = WhyNot::WholeDepth { hole: bore.drilled.hole };
            found.clashes.push(clash(placement, member, &hits, &group, why));
        } else {
            found.bores.push(bore);
        }
    }
    found
}

fn hits<'o>(member: &Member, occupants: &'o Occupants, near: &[usize]) -> Vec<Hit<'o>> {
    let Ok(wood) = Solid::new(&Body::Cuboid { pose: member.pose, half: member.half }) else {
        return Vec::new();
    };
    near.iter()
        .map(|i| &occupants.all[*i])
        .filter(|occupant| !occupant.existing)
        .filter_map(|occupant| {
            let body = Solid::new(&occupant.body).ok()?;
            // Most that come near only touch or miss, and a verdict costs less than a distance.
            if !wood.within(&body, 0.0) {
                return None;
            }
            let found = wood.separation(&body);
            (found.distance_in < -TOUCH.to_inches()).then(|| Hit {
                occupant,
                depth: -found.distance_in,
                at: nalgebra::center(&found.on_first, &found.on_second),
                line: Line::of(&occupant.body, member),
            })
        })
        .collect()
}

/// Splits a list into what hangs together, in the order of its first members.
fn together(all: &[usize], bound: impl Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
    let mut left = all.to_vec();
    let mut groups = Vec::new();
    while !left.is_empty() {
        let mut group = vec![left.remove(0)];
        let mut next = 0;
        while next < group.len() {
            let at = group[next];
            let (more, rest): (Vec<usize>, Vec<usize>) = left.iter().partition(|i| bound(at, **i));
            group.extend(more);
            left = rest;
            next += 1;
        }
        group.sort_unstable();
        groups.push(group);
    }
    groups
}

/// Whether the bodies of a group fill their line from face to face. A sheet of subfloor is cut to whatever goes down
/// through it, so there one of them is enough.
fn passes(member: &Member, hits: &[Hit<'_>], group: &[usize]) -> bool {
    let mut spans: Vec<(f64, f64)> = group
        .iter()
        .filter_map(|i| hits[*i].line.filter(Line::goes_through))
        .map(|line| (line.a.x, line.b.x))
        .collect();
    if spans.is_empty() || member.kind == MemberKind::Subfloor {
        return !spans.is_empty();
    }
    spans.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut reached = -member.half.x;
    for (from, to) in spans {
        if from > reached + TOUCH.to_inches() {
            return false;
        }
        reached = reached.max(to);
    }
    reached >= member.half.x - TOUCH.to_inches()
}

/// The thickest body of a group, the longest of those alike.
fn main_of(hits: &[Hit<'_>], group: &[usize]) -> Option<(usize, Line)> {
    group.iter().filter_map(|i| Some((*i, hits[*i].line.filter(Line::goes_through)?))).max_by(
        |(i, one), (k, other)| {
            order(one.radius, other.radius)
                .then(order((one.b - one.a).norm(), (other.b - other.a).norm()))
                .then(k.cmp(i))
        },
    )
}

fn parts(hits: &[Hit<'_>], group: &[usize]) -> Vec<PartId> {
    let mut parts: Vec<PartId> = group.iter().map(|i| hits[*i].occupant.part).collect();
    parts.sort_unstable();
    parts.dedup();
    parts
}

fn bore(
    placement: Placement,
    member: &Member,
    hits: &[Hit<'_>],
    group: &[usize],
    drill: &dyn Fn(&Passage<'_>) -> Drilled,
) -> Bore {
    let (main, line) = main_of(hits, group).expect("a group that passes has a body that goes through");
    let Occupant { part, through, .. } = *hits[main].occupant;
    let parts = parts(hits, group);
    let outside = Length::inches(2.0 * line.radius);
    let drilled = drill(&Passage { member, parts: &parts, part, through, outside });
    let slant = Slant::of(&line, member.half.x, drilled.hole.to_inches());
    let centre = line.crossing();
    let across = Length::inches(centre.y + member.half.y);
    let cut = Cut::of(member.depth(), Length::inches(slant.width), across, Length::inches(slant.wander));
    Bore {
        placement,
        member: member.id,
        lead: member.id,
        parts,
        part,
        through,
        outside,
        drilled,
        centre: member.pose * centre,
        along: Length::inches(centre.z + member.half.z),
        across,
        cut,
        angle: Angle::radians(line.way.x.clamp(-1.0, 1.0).acos()),
        aslant: slant.aslant,
    }
}

/// How a hole lies in the wood.
struct Slant {
    aslant: bool,
    /// What it takes of the depth in one section.
    width: f64,
    /// How far it moves across the depth from mid-thickness to a face.
    wander: f64,
}

impl Slant {
    /// A pipe with a little grade passes a hole drilled square as long as its play lets it; beyond that the hole is
    /// drilled along the pipe, and its sections are ellipses.
    fn of(line: &Line, half_thickness: f64, hole: f64) -> Self {
        let way = line.way;
        let tangent = way.y.hypot(way.z) / way.x;
        let needs = half_thickness * tangent + line.radius * tangent.hypot(1.0);
        if needs <= hole / 2.0 + SLACK {
            return Self { aslant: false, width: hole, wander: 0.0 };
        }
        let width = hole * (1.0 - way.z * way.z).max(0.0).sqrt() / way.x;
        Self { aslant: tangent > SLACK, width, wander: half_thickness * (way.y / way.x).abs() }
    }
}

/// Whether a body beside a passage stays within its hole as far as it is in the wood.
fn within_hole(hit: &Hit<'_>, hits: &[Hit<'_>], group: &[usize], member: &Member, bore: &Bore) -> bool {
    let (Some(line), Some((_, main))) = (hit.line, main_of(hits, group)) else { return false };
    let room = bore.drilled.hole.to_inches() / 2.0 + TOUCH.to_inches() + CHORD_ERROR_IN;
    line.inside(member.half.x).iter().all(|end| main.off(*end) + line.radius <= room)
}

fn clash(placement: Placement, member: &Member, hits: &[Hit<'_>], group: &[usize], why: WhyNot) -> WoodClash {
    let deepest = group
        .iter()
        .map(|i| &hits[*i])
        .max_by(|one, other| order(one.depth, other.depth).then(other.occupant.part.cmp(&one.occupant.part)))
        .expect("a clash is of at least one body");
    WoodClash {
        placement,
        member: member.id,
        part: deepest.occupant.part,
        parts: parts(hits, group),
        depth: Length::inches(deepest.depth),
        at: deepest.at,
        why,
    }
}
