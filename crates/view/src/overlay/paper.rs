//! Sheets of paper over the scene, laid so that none lies on another, and dimension lines.

use crate::theme;
use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, Rect, Stroke, pos2, vec2};
use nalgebra::Point3;

/// A place for a rectangle near where it is wanted, in a frame, on none of those already there: down first, then aside.
pub(super) fn place(frame: Rect, taken: &[Rect], wanted: Rect) -> Option<Rect> {
    for ring in 0..14_u8 {
        for (x, y) in
            [(0.0, 1.0), (1.0, 0.3), (-1.0, 0.3), (1.0, 1.0), (-1.0, 1.0), (0.6, -0.8), (-0.6, -0.8)]
        {
            let off = vec2(x * 20.0 * f32::from(ring), y * 20.0 * f32::from(ring));
            let here = wanted.translate(off);
            if frame.contains_rect(here) && !taken.iter().any(|t| t.intersects(here)) {
                return Some(here);
            }
        }
    }
    None
}

/// The parts of a string from `a` to `b` that lie on no paper: words are never crossed.
pub(super) fn clear_of(a: Pos2, b: Pos2, papers: &[Rect]) -> Vec<[Pos2; 2]> {
    let mut parts = vec![[0.0_f32, 1.0_f32]];
    for paper in papers {
        let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
        for (from, way, low, high) in
            [(a.x, b.x - a.x, paper.left(), paper.right()), (a.y, b.y - a.y, paper.top(), paper.bottom())]
        {
            if way.abs() < 1e-6 {
                if from < low || from > high {
                    leave = -1.0;
                }
                continue;
            }
            let (s, t) = ((low - from) / way, (high - from) / way);
            enter = enter.max(s.min(t));
            leave = leave.min(s.max(t));
        }
        if enter < leave {
            parts = parts
                .into_iter()
                .flat_map(|[s, t]| [[s, t.min(enter)], [s.max(leave), t]])
                .filter(|[s, t]| t - s > 1e-4)
                .collect();
        }
    }
    parts.into_iter().map(|[s, t]| [a.lerp(b, s), a.lerp(b, t)]).collect()
}

/// What is drawn on.
pub(super) struct Sheet<'a> {
    /// Draws in the frame and nowhere else.
    pub(super) painter: egui::Painter,
    /// The part of the window that shows the scene.
    pub(super) frame: Rect,
    /// Where paper lies already.
    pub(super) taken: Vec<Rect>,
    /// From the job into the window.
    pub(super) project: &'a dyn Fn(Point3<f64>) -> Option<Pos2>,
}

impl Sheet<'_> {
    /// Paper with lines of text on it; the first is larger. Returns where it lies.
    pub(super) fn note(
        &mut self,
        at: Pos2,
        align: Align2,
        lines: &[(String, f32)],
        paper: Color32,
        ink: Color32,
    ) -> Option<Rect> {
        let width = (self.frame.width() * 0.46).clamp(200.0, 640.0);
        let galleys: Vec<_> = lines
            .iter()
            .map(|(text, size)| self.painter.layout(text.clone(), FontId::proportional(*size), ink, width))
            .collect();
        let size =
            galleys.iter().fold(vec2(0.0, 0.0), |s, g| vec2(s.x.max(g.size().x), s.y + g.size().y + 2.0))
                + vec2(20.0, 14.0);
        let wanted = align.anchor_size(at, size);
        let inside = wanted.translate(vec2(
            (self.frame.left() + 8.0 - wanted.left()).max(0.0)
                - (wanted.right() - self.frame.right() + 8.0).max(0.0),
            (self.frame.top() + 8.0 - wanted.top()).max(0.0)
                - (wanted.bottom() - self.frame.bottom() + 8.0).max(0.0),
        ));
        let rect = place(self.frame.expand(1.0), &self.taken, inside)?;
        self.painter.rect_filled(rect.translate(vec2(2.0, 3.0)), 2.0, Color32::from_black_alpha(50));
        self.painter.rect_filled(rect, 2.0, paper);
        let mut y = rect.top() + 7.0;
        for galley in galleys {
            let height = galley.size().y;
            self.painter.galley(pos2(rect.left() + 10.0, y), galley, ink);
            y += height + 2.0;
        }
        self.taken.push(rect);
        Some(rect)
    }

    /// A number that has no two ends, at its place.
    pub(super) fn number(&mut self, at: Point3<f64>, text: &str) {
        let Some(p) = (self.project)(at) else { return };
        self.painter.circle_stroke(p, 7.0, Stroke::new(2.0, theme::CHALK));
        let lines = [(text.to_owned(), 15.0)];
        self.note(p + vec2(14.0, 0.0), Align2::LEFT_CENTER, &lines, theme::PAPER, theme::CHALK);
    }

    /// A dimension line with its figure.
    pub(super) fn dimension(&mut self, a: Point3<f64>, b: Point3<f64>, text: &str) {
        let (Some(p), Some(q)) = ((self.project)(a), (self.project)(b)) else { return };
        let stroke = Stroke::new(2.0, theme::CHALK);
        self.painter.line_segment([p, q], stroke);
        let across = (q - p).normalized().rot90() * 6.0;
        for end in [p, q] {
            self.painter.line_segment([end - across, end + across], stroke);
        }
        self.note(
            p.lerp(q, 0.5) + vec2(12.0, 0.0),
            Align2::LEFT_CENTER,
            &[(text.to_owned(), 15.0)],
            theme::PAPER,
            theme::CHALK,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_placed_lies_on_nothing_else_and_in_the_frame() {
        let frame = Rect::from_min_size(Pos2::ZERO, vec2(400.0, 300.0));
        let mut taken = Vec::new();
        for _ in 0..20 {
            let Some(r) = place(frame, &taken, Rect::from_min_size(pos2(200.0, 100.0), vec2(26.0, 36.0)))
            else {
                break;
            };
            assert!(frame.contains_rect(r) && taken.iter().all(|t: &Rect| !t.intersects(r)));
            taken.push(r);
        }
        assert!(taken.len() > 8, "most of twenty at one spot find room");
    }

    #[test]
    fn a_string_stops_at_paper() {
        let paper = Rect::from_min_max(pos2(10.0, 0.0), pos2(20.0, 10.0));
        let (a, b) = (pos2(0.0, 5.0), pos2(40.0, 5.0));
        let parts = clear_of(a, b, &[paper]);
        assert_eq!(parts, vec![[a, pos2(10.0, 5.0)], [pos2(20.0, 5.0), b]]);
        // One that starts under the paper comes out at its edge; one beside it is whole.
        assert_eq!(clear_of(pos2(15.0, 5.0), b, &[paper]), vec![[pos2(20.0, 5.0), b]]);
        assert_eq!(
            clear_of(pos2(0.0, 11.0), pos2(40.0, 11.0), &[paper]),
            vec![[pos2(0.0, 11.0), pos2(40.0, 11.0)]]
        );
    }
}
