//! Why the file as it is now can't be shown.

use crate::theme;
use bevy_egui::egui;
use truefall_check::Verdict;

/// The error, over the last good picture if there ever was one.
pub(super) fn broken_ui(ui: &mut egui::Ui, why: &str, waiting: bool) {
    let what = if waiting {
        "the file can't be read; mend it and save it, and it is shown here"
    } else {
        "the file can't be read as it is now; shown is the last one that could"
    };
    ui.colored_label(theme::paper(Verdict::RedTag), what);
    egui::ScrollArea::vertical().max_height(120.0).show(ui, |ui| ui.monospace(why));
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    #[test]
    fn the_error_is_told_as_it_was_printed() {
        for (waiting, words) in [(true, "mend it and save it"), (false, "the last one that could")] {
            let mut harness =
                Harness::new_ui(|ui| broken_ui(ui, "job.ron:3:1 the field `house` is missing", waiting));
            harness.run_steps(2);
            assert!(harness.query_by_label_contains(words).is_some());
            assert!(harness.query_by_label_contains("the field `house` is missing").is_some());
        }
    }
}
