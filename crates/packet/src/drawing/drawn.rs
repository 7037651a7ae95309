//! A finished drawing: its texts with their room, and the SVG made of it.

use super::area::{Area, Spot};
use super::letters::width;
use super::room::Bars;
use super::sheet::{Placed, Shape};
use crate::markup::Markup;

/// A finished drawing.
#[derive(Debug, Clone)]
pub struct Drawn {
    pub(super) title: String,
    pub(super) told: String,
    pub(super) shapes: Vec<Shape>,
    pub(super) bars: Bars,
    pub(super) leaders: Vec<(Spot, Spot)>,
    pub(super) rings: Vec<(Spot, f64)>,
    pub(super) texts: Vec<Placed>,
    pub(super) view: Area,
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

    /// What no text may lie on: pipe, holes, floors, the arrows.
    pub fn bars(&self) -> &Bars {
        &self.bars
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
                put(m, text, &n);
            }
        });
        m
    }
}

/// One text; `lengthAdjust` holds it to the width that was reckoned, whatever face there is.
fn put(m: &mut Markup, text: &Placed, n: &dyn Fn(f64) -> String) {
    let (x, y) = (
        f64::midpoint(text.area.least.x, text.area.most.x),
        f64::midpoint(text.area.least.y, text.area.most.y),
    );
    let (size, down) = (n(text.size), text.size * 0.35);
    let (x, y, turn) = if text.turned {
        (n(x + down), n(y), Some(format!("rotate(-90 {} {})", n(x + down), n(y))))
    } else {
        (n(x), n(y + down), None)
    };
    let long = n(width(&text.text, text.size));
    let mut attributes = vec![
        ("class", text.class),
        ("x", &x),
        ("y", &y),
        ("font-size", &size),
        ("textLength", &long),
        ("lengthAdjust", "spacingAndGlyphs"),
    ];
    attributes.extend(turn.as_ref().map(|t| ("transform", t.as_str())));
    m.line("text", &attributes, &text.text);
}

/// How lines look; the same in every drawing. Nothing is told by colour alone: solid and dashed, thick and thin.
const STYLE: &str = "text{font-family:Arial,'Liberation Sans',Helvetica,sans-serif;text-anchor:middle;fill:#111;paint-order:stroke;stroke:#fff;stroke-width:2.5;stroke-linejoin:round}\
.b{font-weight:bold}.q{fill:#444}.red{fill:#8a1c0d}\
polyline,line{fill:none;stroke:#111;stroke-width:1}polygon,circle{fill:none;stroke:#111;stroke-width:1}\
.drain{stroke-width:3;stroke-linejoin:round}.vent{stroke-width:2;stroke-dasharray:7 4}\
.old{stroke-width:6;stroke:#555;stroke-dasharray:10 3 2 3}.arrow{fill:#111;stroke:none}\
.lead{stroke:#666;stroke-width:.6}.ring{fill:#fff;stroke-width:1.2}.wood{fill:#f3efe6;stroke:#777;stroke-width:.7}\
.thin{stroke:#777;stroke-width:.6}.pipe{fill:#fff;stroke-width:1.4}.dry{fill:#fff;stroke-width:1.4;stroke-dasharray:5 3}\
.iron{fill:#bbb;stroke-width:1.4}.hub{fill:#e4e4e4;stroke-width:1.4}.bore{fill:none;stroke:#8a1c0d;stroke-width:1.6;stroke-dasharray:4 2}\
.rim{stroke:#8a1c0d;stroke-width:1.2;stroke-dasharray:12 4 3 4}.floor{stroke-width:1.6}.keep{fill:#eee;stroke:#444;stroke-dasharray:2 2}";
