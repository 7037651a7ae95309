//! Where the studs of a wall stand, before its openings are cut.

use super::build::Site;
use super::edge_row;
use super::spans::overlap;
use super::wall::Wall;
use crate::tolerance::{SLACK, TOUCH};
use crate::units::Length;

/// 16 in on centre, common practice: taken where nobody measured.
pub(super) const USUAL_SPACING: Length = Length::inches(16.0);

/// A stud of the row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Place {
    /// Its near edge along the wall.
    pub edge: f64,
    /// How many plies stand here together.
    pub plies: u32,
    /// It is the second ply of the one before it in the list.
    pub second: bool,
}

/// All studs in order: as measured, or one in each end and the rest by spacing.
pub(super) fn studs(
    site: &mut Site<'_>,
    wall: &Wall,
    doubled: &[(String, Length)],
    length: f64,
    path: &str,
) -> Vec<Place> {
    let thick = wall.thick.to_inches();
    let edges = if wall.studs.is_empty() {
        by_spacing(site, wall, length, path)
    } else {
        edge_row::measured(site, &format!("{path}.studs"), "stud", &wall.studs, thick, length)
    };
    let mut row: Vec<Place> = edges.into_iter().map(|edge| Place { edge, plies: 1, second: false }).collect();
    for (path, at) in doubled {
        double(site, &mut row, *at, thick, length, path);
    }
    row
}

fn by_spacing(site: &mut Site<'_>, wall: &Wall, length: f64, path: &str) -> Vec<f64> {
    let thick = wall.thick.to_inches();
    let spacing = wall.spacing.unwrap_or(USUAL_SPACING).to_inches();
    let first = wall.first.map_or(spacing - thick / 2.0, Length::to_inches);
    let last = length - thick;
    if last < -SLACK {
        site.trouble(path, format!("`{}` is shorter than one stud is thick", wall.name));
        return Vec::new();
    }
    let mut edges = vec![0.0];
    let between = edge_row::spaced(site, &format!("{path}.spacing"), first, spacing, thick, length);
    edges.extend(
        between
            .into_iter()
            .filter(|e| !overlap((*e, e + thick), (0.0, thick)) && !overlap((*e, e + thick), (last, length))),
    );
    if !overlap((0.0, thick), (last, length)) {
        edges.push(last);
    }
    edges
}

/// Puts a second ply beside the stud at `at`: one that stands there already counts as it.
fn double(site: &mut Site<'_>, row: &mut Vec<Place>, at: Length, thick: f64, length: f64, path: &str) {
    let inches = at.to_inches();
    let Some(i) = row.iter().position(|p| (p.edge - inches).abs() < thick / 2.0) else {
        let edges: Vec<String> = row.iter().map(|p| Length::inches(p.edge).to_string()).collect();
        site.trouble(path, format!("no stud has its near edge at {at}; there are {}", edges.join(", ")));
        return;
    };
    if row[i].plies > 1 {
        return;
    }
    let edge = row[i].edge;
    for beside in [edge + thick, edge - thick] {
        let span = (beside, beside + thick);
        let taken: Vec<usize> =
            (0..row.len()).filter(|&j| j != i && overlap(span, (row[j].edge, row[j].edge + thick))).collect();
        let flush = |j: usize| !overlap((row[j].edge, row[j].edge + thick), (edge, edge + thick));
        match taken[..] {
            [j] if flush(j) && (row[j].edge - beside).abs() <= TOUCH.to_inches() => {
                row[i].plies = 2;
                row[j].plies = row[j].plies.max(2);
                return;
            }
            [] if beside >= -SLACK && span.1 <= length + SLACK => {
                row[i].plies = 2;
                // Behind the stud it doubles, so that the numbers of the studs stay.
                row.insert(i + 1, Place { edge: beside, plies: 2, second: true });
                return;
            }
            _ => {}
        }
    }
    site.trouble(
        path,
        format!("there is no room for a second ply beside the stud at {}", Length::inches(edge)),
    );
}
