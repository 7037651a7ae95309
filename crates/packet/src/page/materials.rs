//! What to buy.

use super::frame::table;
use crate::csv::material_rows;
use crate::drawing::Subject;
use crate::markup::Markup;

/// What to buy.
pub fn materials(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let rows: Vec<Vec<String>> = material_rows(subject)
        .iter()
        .map(|r| {
            vec![
                r.what.clone(),
                r.material.clone(),
                r.count.map_or_else(|| subject.say.length(r.inches), |n| n.to_string()),
            ]
        })
        .collect();
    table(
        &mut m,
        "Fittings by piece, pipe by length cut (kerf and waste not counted)",
        &["what", "material", "how many"],
        &rows,
    );
    m
}
