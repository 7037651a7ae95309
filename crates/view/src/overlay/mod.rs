//! Paper over the scene: tags on their strings, dimensions, grades, captions. Texts are laid out so that none lies on another.

mod notes;
mod paper;
mod tags;

use crate::camera::SceneCamera;
use crate::coords;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::measure::Tape;
use crate::selection::Selection;
use bevy::prelude::*;
use bevy_egui::egui::{self, Rect, pos2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::Point3;
use paper::Sheet;

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, paint);
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
        sheet.sum(&loaded, &look, i);
    } else if let Some(thing) = selection.primary().or(selection.hover).filter(|_| look.panels) {
        sheet.name(&loaded, thing);
    }
    sheet.tape(&tape);
    if look.lean {
        sheet.lean(&loaded, &look);
    }
    sheet.bands(&loaded, &look);
    if look.tags {
        sheet.tags(&loaded, &look, &selection);
    }
    Ok(())
}
