//! The sheet beside the scene: each stack upwards, branch by branch, with its tags and notes in place.

use crate::action::Action;
use crate::hold::trade;
use crate::loaded::Loaded;
use crate::selection::{Selection, Thing};
use crate::theme;
use bevy_egui::egui::{self, Color32, RichText, Sense, vec2};
use std::collections::BTreeSet;
use truefall_check::Verdict;
use truefall_model::place::{PartId, Run, RunId, RunKind};

/// One line of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Line {
    /// A stack or a branch, so deep in.
    Run(usize, String),
    /// A fitting or the existing base.
    Part(usize, PartId, String),
    /// A finding, by number.
    Tag(usize, usize),
}

/// The lines of a job: from each base upwards, a branch where it leaves, a finding under the first part that it names; what
/// names no part comes last.
pub(super) fn lines(loaded: &Loaded) -> Vec<Line> {
    let mut sheet = Writer { loaded, lines: Vec::new(), told: BTreeSet::new() };
    for run in &loaded.seen.rough_in.runs {
        if let RunKind::Stack { base, .. } = run.kind {
            sheet.lines.push(Line::Run(0, format!("{} stack, from its base up", run.label)));
            sheet.part(1, base);
            sheet.run(1, run);
        }
    }
    let rest: Vec<usize> = (0..loaded.seen.findings.len()).filter(|i| !sheet.told.contains(i)).collect();
    if !rest.is_empty() {
        sheet.lines.push(Line::Run(0, "the rest of the house".to_owned()));
        sheet.lines.extend(rest.into_iter().map(|i| Line::Tag(1, i)));
    }
    sheet.lines
}

struct Writer<'a> {
    loaded: &'a Loaded,
    lines: Vec<Line>,
    told: BTreeSet<usize>,
}

impl Writer<'_> {
    fn run(&mut self, deep: usize, run: &Run) {
        let parts: Vec<PartId> = run
            .fits
            .iter()
            .flat_map(|(piece, part)| piece.iter().copied().chain([*part]))
            .chain(run.last_piece)
            .collect();
        for part in parts {
            self.part(deep, part);
            let leaving: Vec<RunId> = self
                .loaded
                .seen
                .rough_in
                .runs
                .iter()
                .filter(|r| matches!(r.kind, RunKind::Branch { from, .. } if from.0 == part))
                .map(|r| r.id)
                .collect();
            for id in leaving {
                let branch = self.loaded.seen.rough_in.run(id);
                self.lines.push(Line::Run(deep + 1, branch.label.to_string()));
                self.tags(deep + 2, branch.label.as_str());
                self.run(deep + 2, branch);
            }
        }
    }

    fn part(&mut self, deep: usize, id: PartId) {
        let rough_in = &self.loaded.seen.rough_in;
        let part = rough_in.part(id);
        let what = match (part.pattern(), part.cut()) {
            (Some(p), _) => p.name.to_string(),
            (None, Some(cut)) => format!("{} in pipe, cut {}", part.size(), trade(cut.to_inches())),
            (None, None) => format!("existing {} in {}", part.size(), part.material),
        };
        self.lines.push(Line::Part(deep, id, format!("{}  {what}", part.label)));
        self.tags(deep + 1, part.label.as_str());
    }

    fn tags(&mut self, deep: usize, label: &str) {
        for (i, f) in self.loaded.seen.findings.iter().enumerate() {
            if f.labels.iter().any(|l| l.as_str() == label) && self.told.insert(i) {
                self.lines.push(Line::Tag(deep, i));
            }
        }
    }
}

/// The sheet.
pub(super) fn sheet_ui(ui: &mut egui::Ui, loaded: &Loaded, selection: &Selection) -> Option<Action> {
    let mut asked = None;
    ui.heading(&loaded.job.name);
    let red = loaded.seen.findings.iter().filter(|f| f.verdict == Verdict::RedTag).count();
    ui.label(format!("{red} red {}, held to {}", if red == 1 { "tag" } else { "tags" }, loaded.job.code));
    ui.label("a plan check; local code, inspector and licensed plumber have the last word");
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for line in lines(loaded) {
            let (Line::Run(deep, _) | Line::Part(deep, ..) | Line::Tag(deep, _)) = line;
            ui.horizontal_top(|ui| {
                ui.add_space(12.0 * deep as f32);
                match &line {
                    Line::Run(_, text) => {
                        ui.label(RichText::new(text).size(17.0).underline());
                    }
                    Line::Part(_, id, text) => {
                        let picked = selection.holds(Thing::Part(*id));
                        if ui.selectable_label(picked, text).clicked() {
                            asked = Some(Action::Pick(Thing::Part(*id)));
                        }
                    }
                    Line::Tag(_, i) => {
                        let f = &loaded.seen.findings[*i];
                        let (rect, swatch) = ui.allocate_exact_size(vec2(24.0, 18.0), Sense::click());
                        ui.painter().rect_filled(rect, 2.0, theme::paper(f.verdict));
                        let at = rect.center();
                        ui.painter().text(
                            at,
                            egui::Align2::CENTER_CENTER,
                            (i + 1).to_string(),
                            egui::FontId::proportional(12.0),
                            theme::ink(f.verdict),
                        );
                        let text = RichText::new(&f.what).color(if selection.finding == Some(*i) {
                            theme::CHALK
                        } else {
                            Color32::PLACEHOLDER
                        });
                        let words = ui.add(egui::Label::new(text).wrap().sense(Sense::click()));
                        if words.clicked() || swatch.clicked() {
                            asked = Some(Action::Finding(*i));
                        }
                    }
                }
            });
        }
    });
    asked
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    #[test]
    fn every_finding_has_its_line_once_and_stacks_go_up() {
        let loaded = demo();
        let lines = lines(&loaded);
        let mut tags: Vec<usize> = lines
            .iter()
            .filter_map(|l| match l {
                Line::Tag(_, i) => Some(*i),
                _ => None,
            })
            .collect();
        tags.sort_unstable();
        assert_eq!(tags, (0..loaded.seen.findings.len()).collect::<Vec<_>>());
        let at = |label: &str| {
            lines.iter().position(|l| matches!(l, Line::Part(_, id, _) if *id == loaded.by_label[label]))
        };
        assert!(at("T1") < at("T2") && at("T2") < at("T3") && at("T3") < at("T4"));
    }

    #[test]
    fn a_click_on_a_fitting_picks_it() {
        let loaded = demo();
        let selection = Selection::default();
        let asked = std::cell::RefCell::new(None);
        let text = lines(&loaded)
            .into_iter()
            .find_map(|l| match l {
                Line::Part(_, id, t) if id == loaded.by_label["T1"] => Some(t),
                _ => None,
            })
            .expect("T1 has a line");
        let mut harness = Harness::builder().with_size([500.0, 2400.0]).build_ui(|ui| {
            if let Some(action) = sheet_ui(ui, &loaded, &selection) {
                *asked.borrow_mut() = Some(action);
            }
        });
        harness.get_by_label(&text).click();
        harness.run_steps(3);
        drop(harness);
        assert_eq!(asked.into_inner(), Some(Action::Pick(Thing::Part(loaded.by_label["T1"]))));
    }

    #[test]
    fn a_click_on_a_tag_shows_its_sum() {
        let loaded = demo();
        let selection = Selection::default();
        let asked = std::cell::RefCell::new(None);
        let mut harness = Harness::builder().with_size([700.0, 4000.0]).build_ui(|ui| {
            if let Some(action) = sheet_ui(ui, &loaded, &selection) {
                *asked.borrow_mut() = Some(action);
            }
        });
        harness.get_by_label(&loaded.seen.findings[0].what).click();
        harness.run_steps(3);
        drop(harness);
        assert_eq!(asked.into_inner(), Some(Action::Finding(0)));
    }
}
