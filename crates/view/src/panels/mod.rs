//! The paper beside the scene. Each panel is a plain function that shows and returns what is asked; one system calls them.

mod bar;
mod broken;
mod guide;
mod sheet;

use crate::action::Action;
use crate::camera::SceneCamera;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::Selection;
use bevy::camera::Viewport;
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use bevy_egui::egui::{self, LayerId, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, show);
}

fn show(
    mut contexts: EguiContexts,
    mut camera: Single<&mut Camera, With<SceneCamera>>,
    window: Single<&Window, With<PrimaryWindow>>,
    (loaded, look, selection): (Res<Loaded>, Res<Look>, Res<Selection>),
    mut actions: MessageWriter<Action>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    let mut ui = egui::Ui::new(
        ctx.clone(),
        "beside".into(),
        UiBuilder::new().layer_id(LayerId::background()).max_rect(ctx.viewport_rect()),
    );
    let mut asked = Vec::new();
    egui::Panel::top("bar").show(&mut ui, |ui| asked.extend(bar::bar_ui(ui, &loaded, &look)));
    if let Some(why) = &loaded.broken {
        egui::Panel::top("broken").show(&mut ui, |ui| broken::broken_ui(ui, why));
    }
    egui::Panel::bottom("guide").show(&mut ui, |ui| asked.extend(guide::guide_ui(ui, &loaded, &look)));
    egui::Panel::right("sheet")
        .default_size(360.0)
        .show(&mut ui, |ui| asked.extend(sheet::sheet_ui(ui, &loaded, &selection)));
    let left = ui.available_rect_before_wrap();
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
