//! Where one stands to look at something: on a floor, in front of it, with no wall between.

use nalgebra::{Point3, Vector2};
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::FloorSpace;

/// Height of the eye over the finished floor, inches: eyes of a grown person of middling height, standing (common practice
/// for views drawn at eye height).
pub const EYE_IN: f64 = 62.0;

/// How far from a thing one likes to stand, inches; from memory of looking at fixtures, not a standard's.
const AWAY_IN: f64 = 78.0;

/// How near to a wall an eye may come, inches: half the breadth of shoulders and a hand.
const ROOM_IN: f64 = 12.0;

/// The eye of someone who looks at a point of a floor from the way `towards` points to, or from whichever of eight ways has
/// the most room where none is asked for.
pub fn eye(
    framed: &Framed,
    floor: &FloorSpace,
    look: Point3<f64>,
    towards: Option<Vector2<f64>>,
) -> Point3<f64> {
    let stand = floor.finished_z + EYE_IN;
    let way = towards.filter(|t| t.norm() > 1e-9).map_or_else(
        || {
            let mut best = (f64::NEG_INFINITY, Vector2::new(0.0, -1.0));
            for i in 0..8 {
                let (s, c) = (f64::from(i) * std::f64::consts::FRAC_PI_4).sin_cos();
                let way = Vector2::new(s, -c);
                let room = free(framed, floor, look, way);
                if room > best.0 + 1e-6 {
                    best = (room, way);
                }
            }
            best.1
        },
        |t| t.normalize(),
    );
    let off = free(framed, floor, look, way).min(AWAY_IN);
    let at = look.xy() + way * off;
    let under_roof = framed.roof_over(at.x, at.y).map_or(f64::INFINITY, |(_, z)| z - ROOM_IN);
    Point3::new(at.x, at.y, stand.min(under_roof).max(floor.finished_z + ROOM_IN))
}

/// How far one can go from a point on a floor before a wall or the floor's edge is near.
fn free(framed: &Framed, floor: &FloorSpace, from: Point3<f64>, way: Vector2<f64>) -> f64 {
    let wall = framed
        .walls
        .iter()
        .filter(|w| w.floor == floor.id)
        .filter_map(|w| w.hit(from.xy(), way))
        // What one looks at may be in the wall itself.
        .filter(|d| *d > 1e-6)
        .fold(f64::INFINITY, f64::min);
    let edge = floor.outline.map_or(f64::INFINITY, |(least, most)| {
        (0..2)
            .map(|i| match way[i] {
                w if w > 1e-9 => (most[i] - from[i]) / w,
                w if w < -1e-9 => (least[i] - from[i]) / w,
                _ => f64::INFINITY,
            })
            .fold(f64::INFINITY, f64::min)
    });
    (wall.min(edge) - ROOM_IN).max(ROOM_IN)
}
