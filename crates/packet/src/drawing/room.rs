//! Where a text asked for near a point finds room.

use super::area::{Area, Spot, spot};
use super::sheet::Placed;

/// A text is kept this far off others and off lines.
const GAP: f64 = 1.5;
/// Beyond this a leader may pass through another text, which is dear but better than a text without an end.
const FAR: f64 = 300.0;

/// Up to here no text lies on the point another tells of, whose leader could not but pass through it.
const HIDES: f64 = 90.0;

/// Where a text is tried round its point, in 32nds of a turn: right, left, above and below first, where a reader looks.
const TURNS: [u8; 32] = [
    0, 16, 8, 24, 4, 12, 20, 28, 2, 14, 18, 30, 6, 10, 22, 26, 1, 15, 17, 31, 3, 13, 19, 29, 5, 11, 21, 27,
    7, 9, 23, 25,
];

/// What no text may lie on.
#[derive(Debug, Clone, Default)]
pub struct Bars {
    /// Lines.
    pub lines: Vec<(Spot, Spot)>,
    /// Round things with their radius.
    pub discs: Vec<(Spot, f64)>,
}

impl Bars {
    /// Whether any of them lies in a box.
    pub fn meet(&self, area: &Area) -> bool {
        self.lines.iter().any(|(a, b)| area.is_crossed(*a, *b))
            || self.discs.iter().any(|(middle, radius)| {
                let near = area.nearest(*middle);
                (near.x - middle.x).hypot(near.y - middle.y) < *radius
            })
    }
}

/// A text's point and the room it needs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// What it tells of.
    pub at: Spot,
    /// Width.
    pub wide: f64,
    /// Height.
    pub tall: f64,
}

impl Wanted {
    /// The line from a text to its point, where it lies away from it.
    pub fn leader_to(&self, area: &Area) -> Option<(Spot, Spot)> {
        let near = area.nearest(self.at);
        let far = (near.x - self.at.x).hypot(near.y - self.at.y);
        (far > 9.0).then_some((self.at, near))
    }

    /// The nearest place that is free.
    pub fn placed(
        &self,
        bars: &Bars,
        lines: &[(Spot, Spot)],
        texts: &[Placed],
        leaders: &[(Spot, Spot)],
        points: &[Spot],
    ) -> Area {
        let mut best: Option<(f64, Area)> = None;
        let mut reach = 5.0;
        loop {
            if let Some((_, area)) = best.filter(|b| b.0 <= reach) {
                return area;
            }
            for (k, turn) in TURNS.iter().enumerate() {
                let (sin, cos) = (f64::from(*turn) * std::f64::consts::PI / 16.0).sin_cos();
                let middle = spot(
                    self.at.x + cos * (reach + self.wide / 2.0),
                    self.at.y - sin * (reach + self.tall / 2.0),
                );
                let area = Area::around(middle, self.wide, self.tall);
                let room = area.grown(GAP);
                if texts.iter().any(|t| t.area.meets(&room))
                    || bars.meet(&room)
                    || leaders.iter().any(|(a, b)| room.is_crossed(*a, *b))
                {
                    continue;
                }
                let leader = self.leader_to(&area);
                let over =
                    leader.map_or(0, |(a, b)| texts.iter().filter(|t| t.area.is_crossed(a, b)).count());
                if over > 0 && reach < FAR {
                    continue;
                }
                // A text on another's point would be read as that one's.
                let hides = points
                    .iter()
                    .filter(|p| **p != self.at && room.is_crossed(**p, spot(p.x + 0.1, p.y)))
                    .count();
                if hides > 0 && reach < HIDES {
                    continue;
                }
                // A line across a word does it little harm; one along it strikes it out.
                let ground: f64 = lines
                    .iter()
                    .filter(|(a, b)| room.is_crossed(*a, *b))
                    .map(|(a, b)| if (a.x - b.x).abs() > self.wide / 2.0 { 25.0 } else { 6.0 })
                    .sum();
                let through = leader
                    .map_or(0, |(a, b)| bars.lines.iter().filter(|(c, d)| cross((a, b), (*c, *d))).count());
                let cost = reach
                    + ground.min(50.0)
                    + 20.0 * hides as f64
                    + 8.0 * through as f64
                    + 40.0 * over as f64
                    + k as f64 * 0.1;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, area));
                }
            }
            reach += 4.0;
        }
    }
}

/// Whether two lines cross inside both (each has the other's ends on its two sides).
fn cross((a, b): (Spot, Spot), (c, d): (Spot, Spot)) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}
