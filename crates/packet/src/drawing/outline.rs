//! Outlines of round parts seen square: a pipe across the view is a strip, one that comes towards the eye is a circle.

use super::area::{Spot, spot};
use super::sheet::Sheet;

/// Draws a cylinder whose ends lie at `a` and `b` on the sheet; `radius` in units of the sheet.
pub fn round(sheet: &mut Sheet, a: Spot, b: Spot, radius: f64, class: &'static str) {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let long = dx.hypot(dy);
    if long < radius * 0.3 {
        sheet.round(a, radius, class);
        return;
    }
    let (ox, oy) = (-dy / long * radius, dx / long * radius);
    sheet.patch(
        &[
            spot(a.x + ox, a.y + oy),
            spot(b.x + ox, b.y + oy),
            spot(b.x - ox, b.y - oy),
            spot(a.x - ox, a.y - oy),
        ],
        class,
    );
}
