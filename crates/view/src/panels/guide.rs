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
    ui.horizontal_wrapped(|ui| match look.stop {
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
            if look.walking {
                // Held down, for a tablet; a keyboard has W A S D and the arrows.
                for (word, ahead, aside) in
                    [("ahead", 1.0, 0.0), ("back", -1.0, 0.0), ("left", 0.0, -1.0), ("right", 0.0, 1.0)]
                {
                    let held = ui.add(big(word).sense(egui::Sense::click_and_drag()));
                    if held.is_pointer_button_down_on() {
                        asked = Some(Action::Step(ahead, aside));
                    }
                }
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

    #[track_caller]
    fn asked(look: &Look, click: &str) -> Option<Action> {
        let loaded = demo();
        let asked = std::cell::RefCell::new(None);
        let mut harness = Harness::new_ui(|ui| {
            if let Some(action) = guide_ui(ui, &loaded, look) {
                *asked.borrow_mut() = Some(action);
            }
        });
        harness.get_by_label(click).click();
        harness.run_steps(3);
        drop(harness);
        asked.into_inner()
    }

    #[test]
    fn each_button_of_the_walk_does_as_it_says() {
        let out = Look::default();
        let at = Look { stop: Some(1), ..Look::default() };
        let goes = Look { stop: Some(1), playing: true, ..Look::default() };
        let walks = Look { walking: true, ..Look::default() };
        let look = |l: &Look| Some(Action::Look(Box::new(l.clone())));
        assert_eq!(asked(&out, "show me round"), Some(Action::Stop(0)));
        assert_eq!(asked(&at, "next"), Some(Action::Stop(2)));
        assert_eq!(asked(&at, "back"), Some(Action::Stop(0)));
        assert_eq!(asked(&at, "go on"), look(&goes));
        assert_eq!(asked(&goes, "pause"), look(&at));
        assert_eq!(asked(&at, "leave"), Some(Action::Leave));
        assert_eq!(asked(&out, "walk"), look(&walks));
        assert_eq!(asked(&walks, "stop walking"), Some(Action::Leave));
        assert_eq!(asked(&walks, "ahead"), Some(Action::Step(1.0, 0.0)));
    }

    #[test]
    fn the_walk_ends_at_its_last_stop() {
        let last = demo().stops.len() - 1;
        assert_eq!(asked(&Look { stop: Some(last), ..Look::default() }, "next"), None);
        assert_eq!(asked(&Look { stop: Some(0), ..Look::default() }, "back"), None);
    }
}
