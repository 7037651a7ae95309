//! What to buy.

use super::frame::table;
use crate::markup::Markup;
use crate::plans::Plans;
use truefall_plan::prices::Unit;

/// What to buy, as `truefall plan buy` counts it, without prices.
pub fn materials(plans: &Plans) -> Markup {
    let mut m = Markup::new();
    let rows: Vec<Vec<String>> = plans
        .bill
        .lines
        .iter()
        .map(|line| {
            let count = match line.unit {
                Unit::Length(length) => format!("{} of {length}", line.count),
                Unit::Each | Unit::Foot => line.count.to_string(),
            };
            vec![
                line.item.to_string(),
                line.item.material().map_or_else(String::new, |m| m.to_string()),
                count,
                line.places.join(", "),
            ]
        })
        .collect();
    let caption = "Fittings and what goes with them by piece, pipe by the lengths of the cut list";
    table(&mut m, caption, &["what", "material", "how many", "where"], &rows);
    m
}
