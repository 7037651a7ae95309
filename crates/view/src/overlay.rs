//! Paper over the scene: tags on their strings, dimensions, grades, captions. Texts are laid out so that none lies on another.

use crate::camera::SceneCamera;
use crate::coords;
use crate::draw::shown;
use crate::hold::{self, trade};
use crate::loaded::Loaded;
use crate::look::Look;
use crate::measure::Tape;
use crate::selection::{Selection, Thing};
use crate::theme;
use bevy::prelude::*;
use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, Rect, Stroke, pos2, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::Point3;
use truefall_check::Verdict;
use truefall_model::job::Placement;
use truefall_model::place::RunKind;

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, paint);
}

/// Size of a tag that only bears its number.
const TAG: egui::Vec2 = vec2(26.0, 36.0);

/// A place for a rectangle near where it is wanted, in a frame, on none of those already there: down first, then aside.
pub(crate) fn place(frame: Rect, taken: &[Rect], wanted: Rect) -> Option<Rect> {
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

/// Where a tag hangs and what is written on it.
struct Tag {
    finding: usize,
    anchor: Pos2,
}

struct Sheet<'a> {
    painter: egui::Painter,
    frame: Rect,
    taken: Vec<Rect>,
    project: &'a dyn Fn(Point3<f64>) -> Option<Pos2>,
}

fn paint(
    mut contexts: EguiContexts,
    camera: Single<(&Camera, &GlobalTransform), With<SceneCamera>>,
    loaded: Res<Loaded>,
    look: Res<Look>,
    selection: Res<Selection>,
    tape: Res<Tape>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    let (camera, at) = *camera;
    let scale = ctx.pixels_per_point();
    let project = |p: Point3<f64>| {
        let v = camera.world_to_viewport(at, coords::scene_from_job(p)).ok()?;
        Some(pos2(v.x, v.y))
    };
    let frame = camera.physical_viewport_rect().map_or(ctx.content_rect(), |r| {
        Rect::from_min_max(
            pos2(r.min.x as f32, r.min.y as f32) / scale,
            pos2(r.max.x as f32, r.max.y as f32) / scale,
        )
    });
    let painter = ctx.layer_painter(egui::LayerId::background()).with_clip_rect(frame);
    let mut sheet = Sheet { painter, frame, taken: Vec::new(), project: &project };
    if let Some(stop) = look.stop.and_then(|i| loaded.stops.get(i)) {
        sheet.caption(&stop.title, &stop.lines);
    }
    if let Some(i) = selection.finding {
        sheet.sum(&loaded, i);
    } else if let Some(thing) = selection.primary().or(selection.hover).filter(|_| look.panels) {
        sheet.name(&loaded, thing);
    }
    sheet.tape(&tape);
    if look.lean {
        sheet.lean(&loaded, &look);
    }
    if look.cover >= 0.5 {
        sheet.bands(&loaded, &look);
    }
    if look.tags {
        sheet.tags(&loaded, &look, &selection);
    }
    Ok(())
}

impl Sheet<'_> {
    /// Paper with lines of text on it; the first is larger. Returns where it lies.
    fn note(
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

    fn caption(&mut self, title: &str, lines: &[String]) {
        let mut all = vec![(title.to_owned(), 26.0)];
        let most = 7;
        all.extend(lines.iter().take(most).map(|l| (l.clone(), 17.0)));
        if lines.len() > most {
            all.push((format!("and {} more", lines.len() - most), 17.0));
        }
        let at = self.frame.left_bottom() + vec2(14.0, -14.0);
        self.note(at, Align2::LEFT_BOTTOM, &all, theme::PAPER, theme::INK);
    }

    fn name(&mut self, loaded: &Loaded, thing: Thing) {
        let mut lines: Vec<_> = hold::lines(loaded, thing).into_iter().map(|l| (l, 14.0)).collect();
        if let Some(first) = lines.first_mut() {
            first.1 = 17.0;
        }
        let at = self.frame.left_top() + vec2(14.0, 14.0);
        self.note(at, Align2::LEFT_TOP, &lines, theme::PAPER, theme::INK);
    }

    /// A finding with its sum and source, and its measure drawn at its place.
    fn sum(&mut self, loaded: &Loaded, i: usize) {
        let Some(f) = loaded.seen.report.findings.get(i) else { return };
        let mut lines = vec![(format!("{} {}: {}", f.verdict, i + 1, f.what), 18.0)];
        lines.extend(f.sum.iter().map(|l| (l.clone(), 14.0)));
        lines.push((f.source.line.clone(), 13.0));
        lines.extend(f.help.iter().map(|h| (format!("help: {h}"), 14.0)));
        let at = self.frame.left_top() + vec2(14.0, 14.0);
        self.note(at, Align2::LEFT_TOP, &lines, theme::PAPER, theme::INK);
        let Some(landing) = loaded
            .seen
            .report
            .landings
            .iter()
            .find(|l| l.placement == "found" && f.labels.contains(&l.fixture))
        else {
            self.bore(loaded, i);
            return;
        };
        if f.rule.contains("misfit") {
            self.dimension(Point3::from(landing.at), Point3::from(landing.wants), &trade(landing.misfit));
        } else {
            self.bore(loaded, i);
        }
    }

    /// The hole of a finding about wood: its diameter, and from its edge to the member's; else the fall of its leg.
    fn bore(&mut self, loaded: &Loaded, i: usize) {
        let (Some(row), framed) = (loaded.seen.report.findings.get(i), &loaded.seen.rough_in.framed) else {
            return;
        };
        let bore = loaded.seen.bores.iter().find(|b| {
            let member = framed.member_of(b.member).map(|m| m.label.as_str());
            b.placement == Placement::Found && member.is_some_and(|m| row.labels.iter().any(|l| l == m))
        });
        if let Some((bore, m)) = bore.and_then(|b| Some((b, framed.member_of(b.member)?))) {
            let deep = m.deep().into_inner();
            let low = bore.cut.low <= bore.cut.high;
            let (sign, left) = if low { (-1.0, bore.cut.low) } else { (1.0, bore.cut.high) };
            let rim = bore.centre + deep * (sign * bore.cut.width.to_inches() / 2.0);
            self.dimension(
                rim,
                rim + deep * (sign * left.to_inches()),
                &format!("{} left", trade(left.to_inches())),
            );
            return;
        }
        let leg = loaded.seen.report.legs.iter().find(|l| {
            l.placement == row.placement
                && l.grade.is_some()
                && row.labels.iter().any(|n| l.label.as_ref() == Some(n) || *n == l.run)
        });
        if let Some((leg, grade)) = leg.and_then(|l| Some((l, l.grade?))) {
            self.dimension(
                Point3::from(leg.from),
                Point3::from(leg.to),
                &format!("{grade:.3} in per ft over {}", trade(leg.level)),
            );
        }
    }

    /// A dimension line with its figure.
    fn dimension(&mut self, a: Point3<f64>, b: Point3<f64>, text: &str) {
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

    fn tape(&mut self, tape: &Tape) {
        for p in &tape.picks {
            if let Some(at) = (self.project)(*p) {
                self.painter.circle_filled(at, 4.0, theme::CHALK);
            }
        }
        if let ([a, b], Some(text)) = (tape.picks.as_slice(), tape.text()) {
            self.dimension(*a, *b, &text);
        }
    }

    /// A plumb string beside each stack, and beside each branch its grade as drawn and as found.
    fn lean(&mut self, loaded: &Loaded, look: &Look) {
        let rough_in = &loaded.seen.rough_in;
        for run in &rough_in.runs {
            let RunKind::Stack { base, .. } = run.kind else { continue };
            let at = rough_in.drawn.origin(base);
            let top = run.fits.last().map_or(at.z, |f| rough_in.drawn.origin(f.1).z);
            let beside = |z: f64| Point3::new(at.x + 6.0, at.y, z);
            if let (Some(p), Some(q)) = ((self.project)(beside(at.z)), (self.project)(beside(top + 12.0))) {
                self.painter.line_segment([p, q], Stroke::new(1.5, theme::STRING));
                self.painter.circle_filled(p, 4.0, theme::STRING);
                let row = loaded.seen.report.lean.iter().find(|r| r.stack == run.label.as_str());
                if let Some((row, lean)) = row.and_then(|r| Some((r, r.in_per_ft?))) {
                    let wall = row.wall.as_ref().map_or_else(String::new, |w| format!(" towards the {w}"));
                    let text = format!("leans {lean:.3} in per ft{wall}, drawn {}x", look.exaggeration);
                    self.note(q, Align2::LEFT_TOP, &[(text, 14.0)], theme::PAPER, theme::INK);
                }
            }
        }
        let legs = &loaded.seen.report.legs;
        for found in legs.iter().filter(|l| l.placement == "found" && l.target.is_some()) {
            let drawn =
                legs.iter().find(|l| l.placement == "drawn" && l.low == found.low && l.high == found.high);
            let (Some(f), Some(d)) = (found.grade, drawn.and_then(|l| l.grade)) else { continue };
            let mid = nalgebra::center(&Point3::from(found.from), &Point3::from(found.to));
            if let Some(at) = (self.project)(mid).filter(|p| self.frame.contains(*p)) {
                self.note(
                    at,
                    Align2::LEFT_TOP,
                    &[(format!("{d:.3} drawn, {f:.3} found"), 12.0)],
                    theme::PAPER,
                    theme::INK,
                );
            }
        }
    }

    fn bands(&mut self, loaded: &Loaded, look: &Look) {
        let stop = look.stop.and_then(|i| loaded.stops.get(i));
        for band in &loaded.bands {
            // Told in full at the wall one stands before, so that the whole house does not fill with words.
            let wanted = stop.is_some_and(|s| s.title.starts_with(&band.wall))
                || look
                    .wall
                    .is_some_and(|w| loaded.seen.rough_in.framed.walls[w].label.as_str() == band.wall);
            if !wanted {
                continue;
            }
            let corner = Point3::from(band.corners[3]);
            if let Some(at) = (self.project)(corner).filter(|p| self.frame.contains(*p)) {
                self.note(at, Align2::LEFT_TOP, &[(band.text.clone(), 13.0)], theme::PAPER, theme::INK);
            }
        }
    }

    fn tags(&mut self, loaded: &Loaded, look: &Look, selection: &Selection) {
        let stop = look.stop.and_then(|i| loaded.stops.get(i)).filter(|_| look.stop != Some(0));
        let mut tags: Vec<Tag> = Vec::new();
        for (i, f) in loaded.seen.findings.iter().enumerate() {
            let here = f.in_both || f.placement == look.placement;
            let asked = selection.finding == Some(i);
            // In pictures of one stop or one tag only its own hang, to be read at a glance.
            let own = stop.is_none_or(|s| s.findings.contains(&i))
                && (look.panels || selection.finding.is_none_or(|s| s == i));
            if !(asked || here && own && matches!(f.verdict, Verdict::RedTag | Verdict::Ask)) {
                continue;
            }
            let Some(at) = loaded.anchor(i).filter(|p| asked || shown::point(loaded, look, *p)) else {
                continue;
            };
            if let Some(anchor) = (self.project)(at).filter(|p| self.frame.contains(*p)) {
                tags.push(Tag { finding: i, anchor });
            }
        }
        tags.sort_by(|a, b| a.anchor.y.total_cmp(&b.anchor.y).then(a.finding.cmp(&b.finding)));
        let mut hung = Vec::new();
        for tag in tags {
            let big = selection.finding == Some(tag.finding);
            let size = if big { TAG * 1.5 } else { TAG };
            let wanted = Rect::from_min_size(tag.anchor + vec2(-size.x / 2.0, 16.0), size);
            let Some(rect) = place(self.frame, &self.taken, wanted) else { continue };
            self.taken.push(rect.expand(2.0));
            hung.push((rect, tag));
        }
        // All strings first, so that none crosses a number.
        for (rect, tag) in &hung {
            self.painter.line_segment([tag.anchor, rect.center_top()], Stroke::new(1.4, theme::STRING));
            self.painter.circle_filled(tag.anchor, 3.0, theme::STRING);
        }
        for (rect, tag) in hung {
            self.tag(rect, loaded.seen.findings[tag.finding].verdict, tag.finding + 1);
        }
    }

    /// A paper tag with clipped corners and a punched hole, on its string.
    fn tag(&self, r: Rect, verdict: Verdict, number: usize) {
        let clip = r.width() * 0.25;
        let outline = vec![
            pos2(r.left() + clip, r.top()),
            pos2(r.right() - clip, r.top()),
            pos2(r.right(), r.top() + clip),
            r.right_bottom(),
            r.left_bottom(),
            pos2(r.left(), r.top() + clip),
        ];
        let hole = pos2(r.center().x, r.top() + clip * 0.9);
        let shadow = outline.iter().map(|p| *p + vec2(2.0, 2.0)).collect();
        self.painter.line_segment([r.center_top(), hole], Stroke::new(1.4, theme::STRING));
        self.painter.add(egui::Shape::convex_polygon(shadow, Color32::from_black_alpha(60), Stroke::NONE));
        self.painter.add(egui::Shape::convex_polygon(
            outline,
            theme::paper(verdict),
            Stroke::new(0.8, theme::STRING),
        ));
        self.painter.circle_filled(hole, clip * 0.32, theme::STRING);
        let at = pos2(r.center().x, r.center().y + clip * 0.6);
        self.painter.text(
            at,
            Align2::CENTER_CENTER,
            number.to_string(),
            FontId::proportional(r.height() * 0.42),
            theme::ink(verdict),
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
            let Some(r) = place(frame, &taken, Rect::from_min_size(pos2(200.0, 100.0), TAG)) else { break };
            assert!(frame.contains_rect(r) && taken.iter().all(|t: &Rect| !t.intersects(r)));
            taken.push(r);
        }
        assert!(taken.len() > 8, "most of twenty at one spot find room");
    }
}
