//! Escape lines: the lines on the plan that a route's legs lie on.
//!
//! A way that bends only where it must can be moved until each leg lies on a line that something gives: the middle of a wall's
//! studs or as near to a face as a hole may be, the middle of a bay, the side of what is kept free, or a line through the tee
//! or the fixture. Headings go in steps of 22.5 degrees from the fixture's wall.

use super::goal::Goal;
use nalgebra::{Point2, Rotation2, Vector2};
use truefall_model::framing::frame::Framed;
use truefall_model::framing::member::MemberKind;

/// A line on the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// A point of it.
    pub through: Point2<f64>,
    /// The way along it, length 1.
    pub way: Vector2<f64>,
}

/// One step between headings.
pub const STEP_RAD: f64 = std::f64::consts::PI / 8.0;

/// How far round the tee and the fixture lines are taken from, inches.
const AROUND_IN: f64 = 30.0;

/// The headings in steps of 22.5 degrees from a base.
pub fn headings(base: Vector2<f64>) -> impl Iterator<Item = Vector2<f64>> {
    (0..16).map(move |i| Rotation2::new(f64::from(i) * STEP_RAD) * base)
}

/// Which places count: those near the tees and the fixture, at the heights of the route.
#[derive(Debug, Clone, Copy)]
pub struct Region {
    low: Point2<f64>,
    high: Point2<f64>,
    z: (f64, f64),
}

impl Region {
    /// Round points, between heights.
    pub fn around(points: &[Point2<f64>], z: (f64, f64)) -> Self {
        let first = points.first().copied().unwrap_or_else(Point2::origin);
        let (low, high) = points.iter().fold((first, first), |(l, h), p| (l.inf(p), h.sup(p)));
        let more = Vector2::repeat(AROUND_IN);
        Self { low: low - more, high: high + more, z }
    }

    fn holds(&self, p: Point2<f64>) -> bool {
        (self.low.x..=self.high.x).contains(&p.x) && (self.low.y..=self.high.y).contains(&p.y)
    }

    fn at(&self, z0: f64, z1: f64) -> bool {
        z0 <= self.z.1 && z1 >= self.z.0
    }
}

/// All escape lines of a region. `clear` is how far a leg's axis keeps from what is kept free, `edge` from a stud's face.
pub fn lines(
    framed: &Framed,
    region: &Region,
    base: Vector2<f64>,
    starts: &[Point2<f64>],
    goal: &Goal,
    (clear, edge): (f64, f64),
) -> Vec<Line> {
    let mut found = Found { lines: Vec::new() };
    for way in headings(base).take(8) {
        for point in starts.iter().copied().chain(goal.points()) {
            found.add(point, way);
        }
    }
    if let Some(line) = goal.line() {
        found.add(line.through, line.way);
    }
    for wall in framed.walls.iter().filter(|w| region.at(w.z0, w.z1)) {
        let near = |along: f64, out: f64| region.holds(wall.at(along, out));
        let crosses = (0..=32).any(|i| near(wall.length * f64::from(i) / 32.0, -wall.depth / 2.0));
        if !crosses {
            continue;
        }
        let mut outs = vec![-wall.depth / 2.0];
        if wall.depth / 2.0 > edge + 0.125 {
            outs.extend([-edge, edge - wall.depth]);
        }
        for out in outs {
            found.add(wall.at(0.0, out), wall.along);
        }
    }
    bays(framed, region, &mut found);
    for keep_out in &framed.keep_outs {
        let c = keep_out.pose.translation.vector;
        if !region.holds(Point2::new(c.x, c.y)) || !region.at(c.z - keep_out.half.z, c.z + keep_out.half.z) {
            continue;
        }
        for (axis, half) in [(Vector2::x(), keep_out.half.x), (Vector2::y(), keep_out.half.y)] {
            let across = (keep_out.pose.rotation * axis.push(0.0)).xy();
            let along = Vector2::new(-across.y, across.x);
            for side in [-1.0, 1.0] {
                found.add(Point2::new(c.x, c.y) + across * (side * (half + clear)), along);
            }
        }
    }
    found.lines
}

/// Middles of bays between joists, along them, and between studs, across the wall.
fn bays(framed: &Framed, region: &Region, found: &mut Found) {
    let in_row = |kind: MemberKind| kind == MemberKind::Joist || kind == MemberKind::Stud;
    let mut before: Option<&truefall_model::framing::member::Member> = None;
    for member in framed.members.iter().filter(|m| in_row(m.kind)) {
        if let Some(last) = before
            && last.kind == member.kind
            && last.floor == member.floor
            && last.wall == member.wall
        {
            let middle = nalgebra::center(&last.centre(), &member.centre());
            let (low, high) = member.bounds();
            let joist = member.kind == MemberKind::Joist;
            let way = if joist { member.lengthwise().xy() } else { member.deep().xy() };
            let reach = if joist { member.half.z } else { 0.0 };
            let near = (-8..=8).any(|i| region.holds(middle.xy() + way * (reach * f64::from(i) / 8.0)));
            let apart = (member.centre() - last.centre()).xy().norm();
            if near && region.at(low.z, high.z) && apart > 4.0 {
                found.add(middle.xy(), way);
            }
        }
        before = Some(member);
    }
}

struct Found {
    lines: Vec<Line>,
}

impl Found {
    fn add(&mut self, through: Point2<f64>, way: Vector2<f64>) {
        let Some(way) = way.try_normalize(1e-9) else { return };
        let same =
            |l: &Line| l.way.perp(&way).abs() < 1e-9 && (through - l.through).perp(&way).abs() < 1.0 / 64.0;
        if !self.lines.iter().any(same) {
            self.lines.push(Line { through, way });
        }
    }
}
