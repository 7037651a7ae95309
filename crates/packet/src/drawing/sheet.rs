//! A sheet: lines and shapes, and texts that never lie on each other.
//!
//! A text is either *fixed* (a title, a figure in a column that was spaced already) or *asked for* near a point. Those asked
//! for are placed one after the other, in rings round their point, where they meet no other text and no leader, and cross
//! as few lines as can be; a text that lands away from its point gets a leader. The rings go on outwards until there is
//! room, and the sheet grows with them, so that every text finds its place.

use super::area::{Area, Spot, spot};
use super::letters::width;
use crate::markup::Markup;

/// Size of the texts.
pub const TEXT: f64 = 11.0;
/// Height of a line of text, of its size.
const LINE: f64 = 1.2;
/// White around the drawing.
const MARGIN: f64 = 12.0;
/// A text is kept this far off others.
const GAP: f64 = 1.5;

/// A text in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What it says.
    pub text: String,
    /// The room it takes.
    pub area: Area,
    class: &'static str,
    size: f64,
}

#[derive(Debug, Clone)]
struct Asked {
    text: String,
    at: Spot,
    class: &'static str,
    size: f64,
    ring: bool,
}

#[derive(Debug, Clone)]
enum Shape {
    Way(Vec<Spot>, &'static str, bool),
    Round(Spot, f64, &'static str),
}

/// A drawing.
#[derive(Debug, Clone)]
pub struct Sheet {
    title: String,
    told: String,
    shapes: Vec<Shape>,
    lines: Vec<(Spot, Spot)>,
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
            leaders: Vec::new(),
            fixed: Vec::new(),
            asked: Vec::new(),
        }
    }

    /// The name of the drawing.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// A line through points; texts keep off it where they can.
    pub fn way(&mut self, points: &[Spot], class: &'static str) {
        self.lines.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
        self.shapes.push(Shape::Way(points.to_vec(), class, false));
    }

    /// A closed shape; texts may lie in it.
    pub fn patch(&mut self, points: &[Spot], class: &'static str) {
        self.lines.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
        if let [first, .., last] = points {
            self.lines.push((*last, *first));
        }
        self.shapes.push(Shape::Way(points.to_vec(), class, true));
    }

    /// A box.
    pub fn block(&mut self, a: Spot, b: Spot, class: &'static str) {
        self.patch(&[a, spot(b.x, a.y), b, spot(a.x, b.y)], class);
    }

    /// A circle.
    pub fn round(&mut self, middle: Spot, radius: f64, class: &'static str) {
        let r = radius * 0.75;
        self.lines.push((spot(middle.x - r, middle.y - r), spot(middle.x + r, middle.y + r)));
        self.lines.push((spot(middle.x - r, middle.y + r), spot(middle.x + r, middle.y - r)));
        self.shapes.push(Shape::Round(middle, radius, class));
    }

    /// The lower left corner of the lines so far.
    pub fn low(&self) -> Spot {
        let ends = || self.lines.iter().flat_map(|(a, b)| [*a, *b]);
        let least = ends().map(|p| p.x).reduce(f64::min).unwrap_or(0.0);
        spot(least, ends().map(|p| p.y).reduce(f64::max).unwrap_or(0.0))
    }

    /// A text whose middle is at a point; whoever puts it there sees to the room.
    pub fn fix(&mut self, middle: Spot, text: impl Into<String>, class: &'static str, size: f64) {
        let text = text.into();
        let area = Area::around(middle, width(&text, size), size * LINE);
        self.fixed.push(Placed { text, area, class, size });
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
        let Self { title, told, shapes, lines, mut leaders, fixed, asked } = self;
        let mut texts = fixed;
        let mut rings = Vec::new();
        for ask in &asked {
            let (wide, tall) = (width(&ask.text, ask.size), ask.size * LINE);
            let (room_x, room_y) = if ask.ring {
                let side = wide.max(tall) + 6.0;
                (side, side)
            } else {
                (wide, tall)
            };
            let area = place(ask.at, room_x, room_y, &texts, &lines, &leaders);
            let middle = spot((area.least.x + area.most.x) / 2.0, (area.least.y + area.most.y) / 2.0);
            if let Some(leader) = leader_to(ask.at, &area) {
                leaders.push(leader);
            }
            if ask.ring {
                rings.push((middle, room_x / 2.0));
            }
            texts.push(Placed { text: ask.text.clone(), area, class: ask.class, size: ask.size });
        }
        let mut around: Option<Area> = None;
        let mut include = |area: Area| around = Some(around.map_or(area, |a| a.with(&area)));
        texts.iter().for_each(|t| include(t.area));
        for (a, b) in lines.iter().chain(&leaders) {
            include(Area::around(*a, 0.0, 0.0));
            include(Area::around(*b, 0.0, 0.0));
        }
        for shape in &shapes {
            if let Shape::Round(middle, r, _) = shape {
                include(Area::around(*middle, 2.0 * r, 2.0 * r));
            }
        }
        let view = around.unwrap_or(Area::around(spot(0.0, 0.0), 1.0, 1.0)).grown(MARGIN);
        Drawn { title, told, shapes, leaders, rings, texts, view }
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

/// The line from a text to its point, where it lies away from it.
fn leader_to(at: Spot, area: &Area) -> Option<(Spot, Spot)> {
    let near = spot(at.x.clamp(area.least.x, area.most.x), at.y.clamp(area.least.y, area.most.y));
    let far = (near.x - at.x).hypot(near.y - at.y);
    (far > 9.0).then_some((at, near))
}

fn place(
    at: Spot,
    wide: f64,
    tall: f64,
    texts: &[Placed],
    lines: &[(Spot, Spot)],
    leaders: &[(Spot, Spot)],
) -> Area {
    let mut best: Option<(f64, Area)> = None;
    let mut reach = 5.0;
    loop {
        if let Some((_, area)) = best.filter(|b| b.0 <= reach) {
            return area;
        }
        for k in 0..16 {
            // Right, left, above and below first: where a reader looks.
            let turn = [0, 8, 4, 12, 2, 6, 10, 14, 1, 7, 9, 15, 3, 5, 11, 13][k];
            let (sin, cos) = (f64::from(turn) * std::f64::consts::PI / 8.0).sin_cos();
            let middle = spot(at.x + cos * (reach + wide / 2.0), at.y - sin * (reach + tall / 2.0));
            let area = Area::around(middle, wide, tall);
            let room = area.grown(GAP);
            if texts.iter().any(|t| t.area.meets(&room))
                || leaders.iter().any(|(a, b)| room.is_crossed(*a, *b))
            {
                continue;
            }
            // Another text may lie on the very point, so a leader through a text is only made dear, not forbidden.
            let over = leader_to(at, &area)
                .map_or(0, |(a, b)| texts.iter().filter(|t| t.area.is_crossed(a, b)).count());
            let crossed = lines.iter().filter(|(a, b)| room.is_crossed(*a, *b)).count();
            let cost = reach + 14.0 * crossed as f64 + 40.0 * over as f64 + k as f64 * 0.2;
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, area));
            }
        }
        reach += 4.0;
    }
}

/// A finished drawing.
#[derive(Debug, Clone)]
pub struct Drawn {
    title: String,
    told: String,
    shapes: Vec<Shape>,
    leaders: Vec<(Spot, Spot)>,
    rings: Vec<(Spot, f64)>,
    texts: Vec<Placed>,
    view: Area,
}

impl Drawn {
    /// Its name.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Every text with its room.
    pub fn texts(&self) -> &[Placed] {
        &self.texts
    }

    /// The lines from texts to their points.
    pub fn leaders(&self) -> &[(Spot, Spot)] {
        &self.leaders
    }

    /// What of the sheet is seen.
    pub fn view(&self) -> Area {
        self.view
    }

    /// How wide and how tall it is.
    pub fn size(&self) -> (f64, f64) {
        (self.view.most.x - self.view.least.x, self.view.most.y - self.view.least.y)
    }

    /// As SVG: inside a page, or as a file of its own.
    pub fn svg(&self) -> Markup {
        let mut m = Markup::new();
        let (wide, tall) = self.size();
        let n = |v: f64| format!("{}", (v * 10.0).round() / 10.0 + 0.0);
        let view = format!("{} {} {} {}", n(self.view.least.x), n(self.view.least.y), n(wide), n(tall));
        let attributes = [
            ("xmlns", "http://www.w3.org/2000/svg"),
            ("viewBox", view.as_str()),
            ("width", &n(wide)),
            ("height", &n(tall)),
            ("role", "img"),
            ("aria-label", &self.title),
        ];
        m.tag("svg", &attributes, |m| {
            m.line("title", &[], &self.title);
            m.line("desc", &[], &self.told);
            m.tag("style", &[], |m| {
                m.raw(STYLE);
            });
            for shape in &self.shapes {
                match shape {
                    Shape::Way(points, class, closed) => {
                        let points: Vec<String> =
                            points.iter().map(|p| format!("{},{}", n(p.x), n(p.y))).collect();
                        let name = if *closed { "polygon" } else { "polyline" };
                        m.empty(name, &[("class", class), ("points", &points.join(" "))]);
                    }
                    Shape::Round(at, r, class) => {
                        m.empty(
                            "circle",
                            &[("class", class), ("cx", &n(at.x)), ("cy", &n(at.y)), ("r", &n(*r))],
                        );
                    }
                }
            }
            for (a, b) in &self.leaders {
                m.empty(
                    "line",
                    &[("class", "lead"), ("x1", &n(a.x)), ("y1", &n(a.y)), ("x2", &n(b.x)), ("y2", &n(b.y))],
                );
            }
            for (at, r) in &self.rings {
                m.empty("circle", &[("class", "ring"), ("cx", &n(at.x)), ("cy", &n(at.y)), ("r", &n(*r))]);
            }
            for text in &self.texts {
                let middle = (text.area.least.x + text.area.most.x) / 2.0;
                let base = (text.area.least.y + text.area.most.y) / 2.0 + text.size * 0.35;
                m.line(
                    "text",
                    &[
                        ("class", text.class),
                        ("x", &n(middle)),
                        ("y", &n(base)),
                        ("font-size", &n(text.size)),
                        ("textLength", &n(width(&text.text, text.size))),
                        ("lengthAdjust", "spacingAndGlyphs"),
                    ],
                    &text.text,
                );
            }
        });
        m
    }
}

/// How lines look; the same in every drawing. Nothing is told by colour alone: solid and dashed, thick and thin.
const STYLE: &str = "text{font-family:Arial,'Liberation Sans',Helvetica,sans-serif;text-anchor:middle;fill:#111}\
.b{font-weight:bold}.q{fill:#444}.red{fill:#8a1c0d}\
polyline,line{fill:none;stroke:#111;stroke-width:1}polygon,circle{fill:none;stroke:#111;stroke-width:1}\
.drain{stroke-width:3;stroke-linejoin:round}.vent{stroke-width:2;stroke-dasharray:7 4}\
.old{stroke-width:6;stroke:#555;stroke-dasharray:10 3 2 3}.arrow{fill:#111;stroke:none}\
.lead{stroke:#666;stroke-width:.6}.ring{fill:#fff;stroke-width:1.2}.wood{fill:#f3efe6;stroke:#777;stroke-width:.7}\
.thin{stroke:#777;stroke-width:.6}.pipe{fill:#fff;stroke-width:1.4}.dry{fill:#fff;stroke-width:1.4;stroke-dasharray:5 3}\
.iron{fill:#bbb;stroke-width:1.4}.hub{fill:#e4e4e4;stroke-width:1.4}.bore{fill:none;stroke:#8a1c0d;stroke-width:1.6;stroke-dasharray:4 2}\
.rim{stroke:#8a1c0d;stroke-width:1.2;stroke-dasharray:12 4 3 4}.floor{stroke-width:1.6}.keep{fill:#eee;stroke:#444;stroke-dasharray:2 2}";

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
