//! The lean of a stack in words.

use super::page::Page;
use super::style::Tone;
use crate::report::lean::LeanRow;
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
        let toward = match (&row.wall, &row.clock) {
            (Some(wall), Some(clock)) => format!(" toward {wall} ({clock} on the plan)"),
            (None, Some(clock)) => format!(" toward {clock} on the plan"),
            _ => String::new(),
        };
        format!("{lean:.3} in per ft{toward}, ± {error:.3}")
    };
    if row.offset > HALF_A_MARK {
        let (offset, height) = (page.length(row.offset), page.length(row.height));
        text.push_str(&format!("; the top stands {offset} off over {height} of height"));
    }
    if !row.corrected.is_empty() {
        text.push_str(&format!("; corrected below {}", row.corrected.join(", ")));
    }
    text.push_str(&format!("; as surveyed with {} readings", row.readings));
    text.push_str(if row.doubtful {
        ", which do not lie on a line: one is off, or the pipe is bent"
    } else if row.chance.iter().any(Option::is_none) {
        ", too few to tell whether one is off"
    } else {
        ", which lie on a line"
    });
    text
}
