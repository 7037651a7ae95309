//! A row of studs, joists or rafters: where the near edge of each is, as measured or by spacing.

use super::build::Site;
use crate::tolerance::TOUCH;
use crate::units::Length;

/// More pieces than any row has; keeps a slip in a spacing from filling the memory.
const MOST: f64 = 10_000.0;

/// Measured near edges, in order. One beyond the end or inside the piece before is told of and left out.
pub(super) fn measured(
    site: &mut Site<'_>,
    path: &str,
    what: &str,
    edges: &[Length],
    thick: f64,
    end: f64,
) -> Vec<f64> {
    let mut order: Vec<(usize, f64)> = edges.iter().map(|e| e.to_inches()).enumerate().collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut row: Vec<f64> = Vec::new();
    for (i, edge) in order {
        let path = format!("{path}[{i}]");
        let here = Length::inches(edge);
        if edge < -TOUCH.to_inches() || edge + thick > end + TOUCH.to_inches() {
            let last = Length::inches(end - thick);
            site.trouble(
                path,
                format!("a {what} with its near edge at {here} is beyond the end; 0 to {last} is allowed"),
            );
            continue;
        }
        match row.last() {
            Some(before) if edge - before < thick - TOUCH.to_inches() => {
                let (before, thick) = (Length::inches(*before), Length::inches(thick));
                let read =
                    format!("a {what} at {here} stands inside the one at {before}, which is {thick} thick");
                site.trouble(path, read);
            }
            _ => row.push(edge),
        }
    }
    row
}

/// Near edges from `first` on, `spacing` apart, as long as the piece fits before `end`.
pub(super) fn spaced(
    site: &mut Site<'_>,
    path: &str,
    first: f64,
    spacing: f64,
    thick: f64,
    end: f64,
) -> Vec<f64> {
    let room = end + TOUCH.to_inches() - first - thick;
    if !(spacing >= thick && thick > 0.0 && first >= 0.0 && room / spacing < MOST) {
        let (first, spacing, thick) = (Length::inches(first), Length::inches(spacing), Length::inches(thick));
        site.trouble(
            path,
            format!("a spacing of {spacing} from {first} can't be laid out with pieces {thick} thick"),
        );
        return Vec::new();
    }
    if room < 0.0 {
        return Vec::new();
    }
    // Each edge by itself rather than by adding up, so that no rounding gathers.
    (0..=(room / spacing) as u32).map(|i| first + f64::from(i) * spacing).collect()
}
