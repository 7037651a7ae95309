//! The guided walk: back, pause, next, in big type for a tablet.

use crate::action::Action;
use crate::loaded::Loaded;
use crate::look::Look;
use bevy_egui::egui::{self, RichText};

/// The strip below the scene.
pub(super) fn guide_ui(ui: &mut egui::Ui, loaded: &Loaded, look: &Look) -> Option<Action> {
    let mut asked = None;
    let big = |text: &str| egui::Button::new(RichText::new(text).size(20.0));
    let change = |playing: bool, walking: bool, stop: Option<usize>| {
        Some(Action::Look(Box::new(Look { playing, walking, stop, ..look.clone() })))
    };
    ui.horizontal(|ui| match look.stop {
        Some(i) => {
            if ui.add_enabled(i > 0, big("back")).clicked() {
                asked = Some(Action::Stop(i - 1));
            }
            if ui.add(big(if look.playing { "pause" } else { "go on" })).clicked() {
                asked = change(!look.playing, false, look.stop);
            }
            if ui.add_enabled(i + 1 < loaded.stops.len(), big("next")).clicked() {
                asked = Some(Action::Stop(i + 1));
            }
            ui.label(RichText::new(format!("{} of {}", i + 1, loaded.stops.len())).size(18.0));
            if ui.add(big("leave")).clicked() {
                asked = Some(Action::Leave);
            }
        }
        None => {
            if ui.add(big("show me round")).clicked() {
                asked = Some(Action::Stop(0));
            }
            let walking = if look.walking { "stop walking" } else { "walk" };
            if ui.add(big(walking)).clicked() {
                asked = if look.walking { Some(Action::Leave) } else { change(false, true, None) };
            }
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
    fn next_goes_to_the_next_stop() {
        let loaded = demo();
        let asked = std::cell::RefCell::new(None);
        let mut harness = Harness::new_ui(|ui| {
            if let Some(action) = guide_ui(ui, &loaded, &Look { stop: Some(1), ..Look::default() }) {
                *asked.borrow_mut() = Some(action);
            }
        });
        harness.get_by_label("next").click();
        harness.run_steps(3);
        drop(harness);
        assert_eq!(asked.into_inner(), Some(Action::Stop(2)));
    }
}
