//! The lean of a stack in words.

use super::page::Page;
use super::style::Tone;
use crate::report::lean::{LeanRow, StringRow};
use truefall_model::units::Grade;

/// Half a mark of a tape: what stands nearer is told as the same place.
const HALF_A_MARK: f64 = 1.0 / 32.0;

/// One stack's lean.
pub fn lean(page: &mut Page, row: &LeanRow) {
    let text = words(page, row);
    page.named(2, "lean: ", Tone::Plain, &text);
}

fn words(page: &Page, row: &LeanRow) -> String {
    let (Some(lean), Some(error)) = (row.in_per_ft, row.error) else {
        return "not read; as found is taken as drawn".to_owned();
    };
    let error_words = Grade::per_foot(error);
    let mut text = if lean <= error {
        format!("none that the readings can tell (they are good to ± {error_words})")
    } else {
        let ways: Vec<String> = row.strings.iter().map(way).collect();
        let clock = row.clock.as_ref().map_or_else(String::new, |clock| format!(", to {clock} on the plan"));
        format!("{lean:.3} in per ft ± {error:.3}{clock}: {}", ways.join(", "))
    };
    if row.offset > HALF_A_MARK {
        let (offset, height) = (page.length(row.offset), page.length(row.height));
        text.push_str(&format!("; the top stands {offset} off over {height} of height"));
    }
    if !row.corrected.is_empty() {
        text.push_str(&format!("; corrected below {}", row.corrected.join(", ")));
    }
    let readings: usize = row.strings.iter().map(|s| s.readings).sum();
    text.push_str(&format!("; as surveyed with {readings} readings"));
    text.push_str(if row.doubtful {
        ", which do not lie on a line: one is off, or the pipe is bent"
    } else if row.strings.iter().any(|s| s.chance.is_none()) {
        ", too few to tell whether one is off"
    } else {
        ", which lie on a line"
    });
    text
}

/// Such as `0.125 toward north`.
fn way(string: &StringRow) -> String {
    let word = if string.in_per_ft < 0.0 { "away from" } else { "toward" };
    format!("{:.3} {word} {}", string.in_per_ft.abs(), string.wall)
}
