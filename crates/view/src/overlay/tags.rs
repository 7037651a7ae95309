//! Red tags on their strings, each on its part, none on another.

use super::paper::{Sheet, clear_of, place};
use crate::dimension;
use crate::draw::shown;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::Selection;
use crate::theme;
use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, Rect, Stroke, pos2, vec2};
use truefall_check::Verdict;

/// Size of a tag that only bears its number.
const TAG: egui::Vec2 = vec2(26.0, 36.0);

/// Where a tag hangs and what is written on it.
struct Tag {
    finding: usize,
    anchor: Pos2,
}

impl Sheet<'_> {
    /// Hangs them; says how many found no room.
    pub(super) fn tags(&mut self, loaded: &Loaded, look: &Look, selection: &Selection) {
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
            let at = dimension::shown(loaded, look, i, at);
            if let Some(anchor) = (self.project)(at).filter(|p| self.frame.contains(*p)) {
                tags.push(Tag { finding: i, anchor });
            }
        }
        tags.sort_by(|a, b| a.anchor.y.total_cmp(&b.anchor.y).then(a.finding.cmp(&b.finding)));
        let papers = self.taken.clone();
        let mut hung = Vec::new();
        let mut no_room = 0_usize;
        for tag in tags {
            let big = selection.finding == Some(tag.finding);
            let size = if big { TAG * 1.5 } else { TAG };
            let wanted = Rect::from_min_size(tag.anchor + vec2(-size.x / 2.0, 16.0), size);
            let Some(rect) = place(self.frame, &self.taken, wanted) else {
                no_room += 1;
                continue;
            };
            self.taken.push(rect.expand(2.0));
            hung.push((rect, tag));
        }
        if no_room > 0 {
            let text = format!(
                "{no_room} more {} no room here: go nearer",
                if no_room == 1 { "tag finds" } else { "tags find" }
            );
            let at = self.frame.right_top() + vec2(-14.0, 14.0);
            self.note(at, Align2::RIGHT_TOP, &[(text, 14.0)], theme::PAPER, theme::INK);
        }
        // All strings first, so that none crosses a number; under paper they are out of sight.
        for (rect, tag) in &hung {
            for part in clear_of(tag.anchor, rect.center_top(), &papers) {
                self.painter.line_segment(part, Stroke::new(1.4, theme::STRING));
            }
            if !papers.iter().any(|p| p.contains(tag.anchor)) {
                self.painter.circle_filled(tag.anchor, 3.0, theme::STRING);
            }
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
