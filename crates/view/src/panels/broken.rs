//! Why the file as it is now can't be shown.

use crate::theme;
use bevy_egui::egui;
use truefall_check::Verdict;

/// The error, over the last good picture.
pub(super) fn broken_ui(ui: &mut egui::Ui, why: &str) {
    ui.colored_label(
        theme::paper(Verdict::RedTag),
        "the file can't be read as it is now; shown is the last one that could",
    );
    egui::ScrollArea::vertical().max_height(120.0).show(ui, |ui| ui.monospace(why));
}
