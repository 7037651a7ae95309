//! A sheet: lines and shapes, and texts that never lie on each other.
//!
//! A text is either *fixed* (a title, a figure in a column that was spaced already) or *asked for* near a point. Those asked
//! for are placed one after the other, in rings round their point, where they meet no other text, no leader, no pipe and no
//! hole; a text that lands away from its point gets a leader. The rings go on outwards until there is room, and the sheet
//! grows with them, so that every text finds its place.

use super::area::{Area, Spot, spot};
use super::drawn::Drawn;
use super::letters::width;
use super::room::{Bars, Wanted};

/// Size of the texts.
pub const TEXT: f64 = 12.0;
/// Height of a line of text, of its size.
const LINE: f64 = 1.2;
/// White around the drawing.
const MARGIN: f64 = 12.0;

/// A text in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What it says.
    pub text: String,
    /// The room it takes.
    pub area: Area,
    pub(super) class: &'static str,
    pub(super) size: f64,
    /// Written upwards, as on the left side of a sheet.
    pub(super) turned: bool,
}

#[derive(Debug, Clone)]
struct Asked {
    text: String,
    at: Spot,
    class: &'static str,
    size: f64,
    ring: bool,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    /// Through points, closed or not.
    Way(Vec<Spot>, &'static str, bool),
    /// A circle.
    Round(Spot, f64, &'static str),
}

/// Thin lines in the background, which a text with its halo may lie on: an elevation is full of studs, and a figure stands
/// best beside what it measures.
const GROUND: [&str; 3] = ["wood", "thin", "keep"];

/// A drawing.
#[derive(Debug, Clone)]
pub struct Sheet {
    title: String,
    told: String,
    shapes: Vec<Shape>,
    lines: Vec<(Spot, Spot)>,
    bars: Bars,
    leaders: Vec<(Spot, Spot)>,
    fixed: Vec<Placed>,
    asked: Vec<Asked>,
}

impl Sheet {
    /// An empty sheet with its name and, for who can't see it, what it shows.
    pub fn new(title: impl Into<String>, told: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            told: told.into(),
            shapes: Vec::new(),
            lines: Vec::new(),
            bars: Bars::default(),
            leaders: Vec::new(),
            fixed: Vec::new(),
            asked: Vec::new(),
        }
    }

    /// The name of the drawing.
    pub fn title(&self) -> &str {
        &self.title
    }

    fn lines(&mut self, points: impl Iterator<Item = (Spot, Spot)>, class: &'static str) {
        if GROUND.contains(&class) {
            self.lines.extend(points);
        } else {
            self.bars.lines.extend(points);
        }
    }

    /// A line through points; no text lies on it unless it is a thin one in the background.
    pub fn way(&mut self, points: &[Spot], class: &'static str) {
        self.lines(points.windows(2).map(|pair| (pair[0], pair[1])), class);
        self.shapes.push(Shape::Way(points.to_vec(), class, false));
    }

    /// A closed shape; texts may lie in it, not on its edge unless it is a thin one.
    pub fn patch(&mut self, points: &[Spot], class: &'static str) {
        self.way_around(points, class);
        self.shapes.push(Shape::Way(points.to_vec(), class, true));
    }

    fn way_around(&mut self, points: &[Spot], class: &'static str) {
        self.lines(points.iter().copied().zip(points.iter().copied().cycle().skip(1)), class);
    }

    /// A box.
    pub fn block(&mut self, a: Spot, b: Spot, class: &'static str) {
        self.patch(&[a, spot(b.x, a.y), b, spot(a.x, b.y)], class);
    }

    /// A circle.
    pub fn round(&mut self, middle: Spot, radius: f64, class: &'static str) {
        self.bars.discs.push((middle, radius));
        self.shapes.push(Shape::Round(middle, radius, class));
    }

    /// The lower left corner of the lines so far.
    pub fn low(&self) -> Spot {
        let ends = || self.lines.iter().chain(&self.bars.lines).flat_map(|(a, b)| [*a, *b]);
        let least = ends().map(|p| p.x).reduce(f64::min).unwrap_or(0.0);
        spot(least, ends().map(|p| p.y).reduce(f64::max).unwrap_or(0.0))
    }

    /// How far to the left and to the right the drawing goes so far.
    pub fn sides(&self) -> (f64, f64) {
        let ends = self.lines.iter().chain(&self.bars.lines).flat_map(|(a, b)| [a.x, b.x]);
        let discs = self.bars.discs.iter().flat_map(|(at, r)| [at.x - r, at.x + r]);
        ends.chain(discs).fold((0.0, 0.0), |(l, r): (f64, f64), x| (l.min(x), r.max(x)))
    }

    /// A text whose middle is at a point; whoever puts it there sees to the room.
    pub fn fix(&mut self, middle: Spot, text: impl Into<String>, class: &'static str, size: f64) {
        let text = text.into();
        let area = Area::around(middle, width(&text, size), size * LINE);
        self.fixed.push(Placed { text, area, class, size, turned: false });
    }

    /// A text written upwards, its middle at a point.
    pub fn fix_turned(&mut self, middle: Spot, text: impl Into<String>, class: &'static str, size: f64) {
        let text = text.into();
        let area = Area::around(middle, size * LINE, width(&text, size));
        self.fixed.push(Placed { text, area, class, size, turned: true });
    }

    /// A text that begins at a point, at the middle of its height.
    pub fn fix_left(&mut self, at: Spot, text: impl Into<String>, class: &'static str, size: f64) {
        let text = text.into();
        let wide = width(&text, size);
        self.fix(spot(at.x + wide / 2.0, at.y), text, class, size);
    }

    /// A line that no text may be laid on, such as the one from a column to what it tells of.
    pub fn leader(&mut self, a: Spot, b: Spot) {
        self.leaders.push((a, b));
    }

    /// A text somewhere near a point.
    pub fn ask(&mut self, at: Spot, text: impl Into<String>, class: &'static str) {
        self.asked.push(Asked { text: text.into(), at, class, size: TEXT, ring: false });
    }

    /// A letter in a circle near a point.
    pub fn ask_ringed(&mut self, at: Spot, text: impl Into<String>, class: &'static str) {
        self.asked.push(Asked { text: text.into(), at, class, size: TEXT + 2.0, ring: true });
    }

    /// A column of texts at one x, each as near its own height as the others let it, with a leader to its point.
    /// Returns the width taken.
    pub fn column(
        &mut self,
        x: f64,
        rows: &[(Spot, String)],
        to_the_right: bool,
        class: &'static str,
    ) -> f64 {
        let step = TEXT * LINE + 2.0;
        let mut order: Vec<&(Spot, String)> = rows.iter().collect();
        order.sort_by(|a, b| a.0.y.total_cmp(&b.0.y));
        let heights = spread(&order.iter().map(|row| row.0.y).collect::<Vec<_>>(), step);
        let mut widest = 0.0_f64;
        for ((point, text), y) in order.into_iter().zip(heights) {
            let wide = width(text, TEXT);
            widest = widest.max(wide);
            let side = if to_the_right { 1.0 } else { -1.0 };
            self.fix(spot(x + side * (wide / 2.0 + 4.0), y), text.clone(), class, TEXT);
            self.leader(*point, spot(x - side * 14.0, y));
            self.leader(spot(x - side * 14.0, y), spot(x, y));
        }
        widest + 8.0
    }

    /// Places every text and gives the drawing with the room of each.
    pub fn finish(self) -> Drawn {
        let Self { title, told, shapes, lines, bars, mut leaders, fixed, asked } = self;
        let mut texts = fixed;
        let points: Vec<Spot> = asked.iter().map(|a| a.at).collect();
        let mut rings = Vec::new();
        for ask in &asked {
            let (wide, tall) = (width(&ask.text, ask.size), ask.size * LINE);
            let (room_x, room_y) = if ask.ring {
                let side = wide.max(tall) + 6.0;
                (side, side)
            } else {
                (wide, tall)
            };
            let wanted = Wanted { at: ask.at, wide: room_x, tall: room_y };
            let area = wanted.placed(&bars, &lines, &texts, &leaders, &points);
            let middle = spot((area.least.x + area.most.x) / 2.0, (area.least.y + area.most.y) / 2.0);
            if let Some(leader) = wanted.leader_to(&area) {
                leaders.push(leader);
            }
            if ask.ring {
                rings.push((middle, room_x / 2.0));
            }
            texts.push(Placed {
                text: ask.text.clone(),
                area,
                class: ask.class,
                size: ask.size,
                turned: false,
            });
        }
        let mut around: Option<Area> = None;
        let mut include = |area: Area| around = Some(around.map_or(area, |a| a.with(&area)));
        texts.iter().for_each(|t| include(t.area));
        for (a, b) in lines.iter().chain(&bars.lines).chain(&leaders) {
            include(Area::around(*a, 0.0, 0.0));
            include(Area::around(*b, 0.0, 0.0));
        }
        for shape in &shapes {
            if let Shape::Round(middle, r, _) = shape {
                include(Area::around(*middle, 2.0 * r, 2.0 * r));
            }
        }
        let view = around.unwrap_or(Area::around(spot(0.0, 0.0), 1.0, 1.0)).grown(MARGIN);
        Drawn { title, told, shapes, bars, leaders, rings, texts, view }
    }
}

/// Heights as near those wanted as a step between them allows, in the order given (rising).
pub fn spread(wanted: &[f64], step: f64) -> Vec<f64> {
    // Blocks of touching rows, each at the mean of what its rows want; blocks that would meet become one.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for want in wanted {
        blocks.push((*want, 1));
        while let [.., (a, m), (b, n)] = blocks[..] {
            let (half_a, half_b) = ((m - 1) as f64 * step / 2.0, (n - 1) as f64 * step / 2.0);
            if a + half_a + step <= b - half_b + 1e-9 {
                break;
            }
            // Where the first row of the joined block wants to be, averaged over its rows.
            let first =
                ((a - half_a) * m as f64 + (b - half_b - m as f64 * step) * n as f64) / (m + n) as f64;
            blocks.truncate(blocks.len() - 2);
            blocks.push((first + (m + n - 1) as f64 * step / 2.0, m + n));
        }
    }
    blocks
        .into_iter()
        .flat_map(|(middle, n)| {
            let first = middle - (n - 1) as f64 * step / 2.0;
            (0..n).map(move |k| first + k as f64 * step)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_spread_no_farther_than_needed() {
        assert_eq!(spread(&[0.0, 0.0, 100.0], 10.0), [-5.0, 5.0, 100.0]);
        let close = spread(&[0.0, 1.0, 2.0, 3.0, 4.0], 10.0);
        assert!(close.windows(2).all(|w| w[1] - w[0] >= 10.0 - 1e-9));
        assert!((close.iter().sum::<f64>() / 5.0 - 2.0).abs() < 1e-9);
    }

    // Thirty names asked for at one point: whoever places by hope puts them on each other.
    #[test]
    fn texts_at_one_point_find_room() {
        let mut sheet = Sheet::new("t", "d");
        for i in 0..30 {
            sheet.ask(spot(0.0, 0.0), format!("3x3x2 tee {i}"), "b");
        }
        let drawn = sheet.finish();
        for (i, one) in drawn.texts().iter().enumerate() {
            for other in &drawn.texts()[i + 1..] {
                assert!(!one.area.meets(&other.area), "{} on {}", one.text, other.text);
            }
        }
    }
}
