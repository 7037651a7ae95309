//! What covers the house, which placement, which floor or wall, and how one looks.

use crate::action::Action;
use crate::camera::View;
use crate::loaded::Loaded;
use crate::look::Look;
use bevy_egui::egui;
use truefall_model::job::Placement;

/// Words along the slider.
fn stage(cover: f32) -> &'static str {
    match cover {
        c if c < 0.5 => "open framing",
        c if c < 1.5 => "board",
        c if c < 2.5 => "tile and floors",
        _ => "finished",
    }
}

/// A list doesn't know its breadth before it is drawn, so it wouldn't go to the next row by itself.
fn room_for_list(ui: &mut egui::Ui) {
    if ui.available_size_before_wrap().x < 130.0 {
        ui.end_row();
    }
}

/// The bar over the scene.
pub(super) fn bar_ui(ui: &mut egui::Ui, loaded: &Loaded, look: &Look) -> Option<Action> {
    let mut new = look.clone();
    let mut asked = None;
    let framed = &loaded.seen.rough_in.framed;
    ui.horizontal_wrapped(|ui| {
        ui.label("cover");
        ui.add(egui::Slider::new(&mut new.cover, 0.0..=3.0).show_value(false));
        ui.label(stage(new.cover));
        ui.checkbox(&mut new.through, "pipes through walls");
        ui.separator();
        ui.selectable_value(&mut new.placement, Placement::Drawn, "as drawn");
        ui.selectable_value(&mut new.placement, Placement::Found, "as found");
        ui.checkbox(&mut new.lean, "plumb string");
        if new.lean {
            ui.add(egui::Slider::new(&mut new.exaggeration, 1.0..=20.0).step_by(1.0).suffix("x"));
        } else {
            new.exaggeration = 1.0;
        }
        ui.separator();
        ui.checkbox(&mut new.sheet, "sheet");
        ui.checkbox(&mut new.tags, "tags");
        ui.checkbox(&mut new.measuring, "tape");
        ui.separator();
        let floor = new
            .floor
            .and_then(|i| framed.floors.get(i))
            .map_or("all floors", |f| f.label.as_str())
            .to_owned();
        room_for_list(ui);
        egui::ComboBox::from_id_salt("floor").selected_text(floor).show_ui(ui, |ui| {
            ui.selectable_value(&mut new.floor, None, "all floors");
            for (i, f) in framed.floors.iter().enumerate() {
                ui.selectable_value(&mut new.floor, Some(i), f.label.as_str());
            }
        });
        let wall =
            new.wall.and_then(|i| framed.walls.get(i)).map_or("all walls", |w| w.label.as_str()).to_owned();
        room_for_list(ui);
        egui::ComboBox::from_id_salt("wall").selected_text(wall).show_ui(ui, |ui| {
            ui.selectable_value(&mut new.wall, None, "all walls");
            for (i, w) in framed.walls.iter().enumerate() {
                if ui.selectable_value(&mut new.wall, Some(i), w.label.as_str()).clicked() {
                    asked = Some(Action::View(View::Wall(i)));
                }
            }
        });
        if ui.button("whole").clicked() {
            asked = Some(Action::View(View::Whole));
        }
        if ui.button("plan").clicked() {
            asked = Some(Action::View(View::Plan));
        }
    });
    if new != *look { Some(Action::Look(Box::new(new))) } else { asked }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    /// What a click on something asks for.
    #[track_caller]
    fn asked(look: &Look, click: &str) -> Option<Action> {
        let loaded = demo();
        let asked = std::cell::RefCell::new(None);
        let mut harness = Harness::builder().with_size([1400.0, 160.0]).build_ui(|ui| {
            if let Some(action) = bar_ui(ui, &loaded, look) {
                *asked.borrow_mut() = Some(action);
            }
        });
        harness.get_by_label(click).click();
        harness.run_steps(3);
        drop(harness);
        asked.into_inner()
    }

    #[test]
    fn each_switch_asks_for_its_own_and_nothing_else() {
        let base = Look::default();
        for (click, wanted) in [
            ("tape", Look { measuring: true, ..base.clone() }),
            ("tags", Look { tags: false, ..base.clone() }),
            ("sheet", Look { sheet: false, ..base.clone() }),
            ("plumb string", Look { lean: true, ..base.clone() }),
            ("pipes through walls", Look { through: false, ..base.clone() }),
            ("as drawn", Look { placement: Placement::Drawn, ..base.clone() }),
        ] {
            assert_eq!(asked(&base, click), Some(Action::Look(Box::new(wanted))), "{click}");
        }
        assert_eq!(asked(&base, "whole"), Some(Action::View(View::Whole)));
        assert_eq!(asked(&base, "plan"), Some(Action::View(View::Plan)));
    }

    // Without the plumb string nothing says that a lean is not as it is.
    #[test]
    fn a_lean_is_exaggerated_only_beside_its_string() {
        let leant = Look { lean: true, exaggeration: 12.0, ..Look::default() };
        let Some(Action::Look(new)) = asked(&leant, "plumb string") else { panic!("nothing was asked") };
        assert!(!new.lean);
        let Some(Action::Look(next)) = asked(&new, "tags") else { panic!("nothing was asked") };
        assert!((next.exaggeration - 1.0).abs() < f32::EPSILON);
    }
}
