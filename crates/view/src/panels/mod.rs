//! The paper beside the scene. Each panel is a plain function that shows and returns what is asked; one system calls them.
//!
//! In a narrow window the sheet lies below the scene, and goes away while one walks: the scene and the caption need the room.

mod bar;
mod broken;
mod guide;
mod sheet;

use crate::action::Action;
use crate::camera::SceneCamera;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::Selection;
use crate::theme;
use bevy::camera::Viewport;
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use bevy_egui::egui::{self, LayerId, Rect, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

/// Below this width, in logical pixels, the sheet goes under the scene: a tablet held upright, a phone.
const NARROW: f32 = 820.0;

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, show);
}

/// All panels round the room that is left for the scene.
fn all_ui(ui: &mut egui::Ui, loaded: &Loaded, look: &Look, selection: &Selection) -> (Vec<Action>, Rect) {
    let mut asked = Vec::new();
    let whole = ui.available_size();
    egui::Panel::top("bar").show(ui, |ui| asked.extend(bar::bar_ui(ui, loaded, look)));
    if let Some(why) = &loaded.broken {
        egui::Panel::top("broken").show(ui, |ui| broken::broken_ui(ui, why, loaded.waiting));
    }
    egui::Panel::bottom("guide").show(ui, |ui| asked.extend(guide::guide_ui(ui, loaded, look)));
    let narrow = whole.x < NARROW;
    let walks = look.walking || look.stop.is_some();
    if look.sheet && !narrow {
        egui::Panel::right("sheet")
            .default_size((whole.x * 0.3).clamp(280.0, 380.0))
            .max_size(whole.x * 0.5)
            .show(ui, |ui| asked.extend(sheet::sheet_ui(ui, loaded, selection)));
    } else if look.sheet && !walks {
        egui::Panel::bottom("sheet below")
            .resizable(true)
            .default_size(whole.y * 0.32)
            .max_size(whole.y * 0.6)
            .show(ui, |ui| asked.extend(sheet::sheet_ui(ui, loaded, selection)));
    }
    (asked, ui.available_rect_before_wrap())
}

fn show(
    mut contexts: EguiContexts,
    mut camera: Single<&mut Camera, With<SceneCamera>>,
    window: Single<&Window, With<PrimaryWindow>>,
    (loaded, look, selection): (Res<Loaded>, Res<Look>, Res<Selection>),
    mut actions: MessageWriter<Action>,
    mut styled: Local<bool>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    if !*styled {
        theme::paper_style(ctx);
        *styled = true;
    }
    let mut ui = egui::Ui::new(
        ctx.clone(),
        "beside".into(),
        UiBuilder::new().layer_id(LayerId::background()).max_rect(ctx.viewport_rect()),
    );
    let (asked, left) = all_ui(&mut ui, &loaded, &look, &selection);
    let scale = window.scale_factor();
    let limit = UVec2::new(window.physical_width(), window.physical_height());
    let at = UVec2::new((left.left() * scale) as u32, (left.top() * scale) as u32)
        .min(limit.saturating_sub(UVec2::ONE));
    let size = UVec2::new((left.width() * scale) as u32, (left.height() * scale) as u32)
        .min(limit - at)
        .max(UVec2::ONE);
    let wanted = Viewport { physical_position: at, physical_size: size, ..default() };
    let same = camera.viewport.as_ref().is_some_and(|v| v.physical_position == at && v.physical_size == size);
    if !same {
        camera.viewport = Some(wanted);
    }
    for action in asked {
        actions.write(action);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    const SIZES: [[f32; 2]; 5] =
        [[1280.0, 800.0], [1024.0, 768.0], [768.0, 1024.0], [480.0, 800.0], [800.0, 480.0]];

    /// Lays all panels out in a window and gives the room left, after checking that each of these words is whole in it.
    #[track_caller]
    fn room(size: [f32; 2], look: &Look, words: &[&str]) -> Rect {
        let loaded = demo();
        let selection = Selection::default();
        let left = std::cell::Cell::new(Rect::NOTHING);
        let mut harness = Harness::builder().with_size(size).build_ui(|ui| {
            theme::paper_style(ui.ctx());
            // The harness gives its own margin away; the panels lie in the whole window, as in the viewer.
            let mut whole = egui::Ui::new(
                ui.ctx().clone(),
                "beside".into(),
                UiBuilder::new().max_rect(ui.ctx().viewport_rect()),
            );
            left.set(all_ui(&mut whole, &loaded, look, &selection).1);
        });
        harness.run_steps(4);
        let window = Rect::from_min_size(egui::Pos2::ZERO, size.into());
        let mut seen: Vec<(String, Rect)> = Vec::new();
        for word in words {
            let rect = harness.get_by_label(word).rect();
            assert!(window.expand(0.5).contains_rect(rect), "`{word}` is clipped at {size:?}: {rect}");
            for (other, there) in &seen {
                assert!(
                    !there.shrink(1.0).intersects(rect.shrink(1.0)),
                    "`{word}` lies on `{other}` at {size:?}"
                );
            }
            seen.push(((*word).to_owned(), rect));
        }
        drop(harness);
        left.get()
    }

    const BAR: [&str; 9] = [
        "cover",
        "open framing",
        "pipes through walls",
        "plumb string",
        "tags",
        "tape",
        "whole",
        "plan",
        "sheet",
    ];

    #[test]
    fn nothing_is_clipped_and_the_scene_has_room_in_every_window() {
        for size in SIZES {
            let words = [&BAR[..], &["show me round", "walk"]].concat();
            let left = room(size, &Look::default(), &words);
            assert!(left.width() * left.height() > 0.25 * size[0] * size[1], "{size:?} leaves {left}");
        }
    }

    #[test]
    fn a_walk_on_an_upright_tablet_has_the_whole_breadth() {
        let walk = Look { stop: Some(1), ..Look::default() };
        for size in SIZES {
            let left = room(size, &walk, &["back", "next", "go on", "leave"]);
            assert!(left.height() > 0.4 * size[1], "{size:?} leaves {left}");
            if size[0] < NARROW {
                assert!(left.width() > 0.95 * size[0], "{size:?} leaves {left}");
            }
        }
    }
}
