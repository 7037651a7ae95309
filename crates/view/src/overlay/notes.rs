//! What is written over the scene: the caption of a stop, a part's name, a finding's sum with its measure, the tape, the lean,
//! where no screw goes.

use super::paper::Sheet;
use crate::dimension;
use crate::draw::covers::banded;
use crate::hold;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::measure::Tape;
use crate::selection::Thing;
use crate::theme;
use bevy_egui::egui::{Align2, Pos2, Stroke, vec2};
use nalgebra::Point3;
use truefall_model::place::RunKind;

impl Sheet<'_> {
    pub(super) fn caption(&mut self, title: &str, lines: &[String]) {
        let mut all = vec![(title.to_owned(), 26.0)];
        let most = 7;
        all.extend(lines.iter().take(most).map(|l| (l.clone(), 17.0)));
        if lines.len() > most {
            all.push((format!("and {} more", lines.len() - most), 17.0));
        }
        let at = self.frame.left_bottom() + vec2(14.0, -14.0);
        self.note(at, Align2::LEFT_BOTTOM, &all, theme::PAPER, theme::INK);
    }

    pub(super) fn name(&mut self, loaded: &Loaded, thing: Thing) {
        let mut lines: Vec<_> = hold::lines(loaded, thing).into_iter().map(|l| (l, 14.0)).collect();
        if let Some(first) = lines.first_mut() {
            first.1 = 17.0;
        }
        let at = self.frame.left_top() + vec2(14.0, 14.0);
        self.note(at, Align2::LEFT_TOP, &lines, theme::PAPER, theme::INK);
    }

    /// A finding with its sum and source, and its measure drawn at its place.
    pub(super) fn sum(&mut self, loaded: &Loaded, look: &Look, i: usize) {
        let Some(f) = loaded.seen.report.findings.get(i) else { return };
        let mut lines = vec![(format!("{} {}: {}", f.verdict, i + 1, f.what), 18.0)];
        lines.extend(f.sum.iter().map(|l| (l.clone(), 14.0)));
        lines.push((f.source.line.clone(), 13.0));
        lines.extend(f.help.iter().map(|h| (format!("help: {h}"), 14.0)));
        let at = self.frame.left_top() + vec2(14.0, 14.0);
        self.note(at, Align2::LEFT_TOP, &lines, theme::PAPER, theme::INK);
        if let Some(d) = dimension::of(loaded, i) {
            let at = |end: usize| {
                if d.on_pipe[end] { dimension::shown(loaded, look, i, d.ends[end]) } else { d.ends[end] }
            };
            if d.line() {
                self.dimension(at(0), at(1), &d.text);
            } else {
                self.number(at(0), &d.text);
            }
        }
    }

    pub(super) fn tape(&mut self, tape: &Tape) {
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
    pub(super) fn lean(&mut self, loaded: &Loaded, look: &Look) {
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

    /// The highest point of a band's left edge, or else of its middle, that is in the frame: a band from floor to plate is told
    /// although its top is out of sight.
    fn first_in_frame(&self, corners: [[f64; 3]; 4]) -> Option<Pos2> {
        const STEPS: u8 = 24;
        let [low_left, low_right, high_right, high_left] = corners.map(Point3::from);
        let middle = (nalgebra::center(&low_left, &low_right), nalgebra::center(&high_left, &high_right));
        let inner = self.frame.shrink(10.0);
        [(low_left, high_left), middle, (low_right, high_right)].iter().find_map(|(low, high)| {
            (0..=STEPS).find_map(|i| {
                let at = high + (low - high) * (f64::from(i) / f64::from(STEPS));
                (self.project)(at).filter(|p| inner.contains(*p))
            })
        })
    }

    /// Where no screw goes, told on the wall one stands before.
    pub(super) fn bands(&mut self, loaded: &Loaded, look: &Look) {
        let stop = look.stop.and_then(|i| loaded.stops.get(i));
        for (i, band) in loaded.bands.iter().enumerate() {
            // Told in full at the wall one stands before, so that the whole house does not fill with words.
            let of_stop = stop.is_some_and(|s| s.title.starts_with(&band.wall));
            let of_wall =
                look.wall.is_some_and(|w| loaded.seen.rough_in.framed.walls[w].label.as_str() == band.wall);
            if !(banded(loaded, look, i) && (of_stop || of_wall)) {
                continue;
            }
            if let Some(at) = self.first_in_frame(band.corners) {
                self.note(at, Align2::LEFT_TOP, &[(band.text.clone(), 13.0)], theme::PAPER, theme::INK);
            }
        }
    }
}
