//! What each kind of fixture looks like: bowls, basins and taps of plain shapes one knows at a glance. Sizes are usual ones from
//! memory, for the eye only; where the drain goes is the job's.

use super::stuff::Stuff;
use nalgebra::{Isometry3, Point3, Translation3};
use truefall_model::job::fixture::FixtureKind;
use truefall_model::solid::Body;

/// A shape of a fixture in its own frame: right, away from the wall, up from the finished floor, inches, the drain at 0, 0.
pub(super) struct Ware {
    /// Its form in that frame.
    pub(super) body: Body,
    /// What it is made of.
    pub(super) stuff: Stuff,
}

fn block(low: [f64; 3], high: [f64; 3]) -> Ware {
    let (low, high) = (Point3::from(low), Point3::from(high));
    let pose = Isometry3::from_parts(
        Translation3::from(nalgebra::center(&low, &high).coords),
        nalgebra::UnitQuaternion::identity(),
    );
    Ware { body: Body::Cuboid { pose, half: (high - low) / 2.0 }, stuff: Stuff::Ware }
}

fn round(a: [f64; 3], b: [f64; 3], radius_in: f64, stuff: Stuff) -> Ware {
    Ware { body: Body::Cylinder { a: a.into(), b: b.into(), radius_in }, stuff }
}

/// An open basin: a floor and four walls of a thickness.
fn basin(low: [f64; 3], high: [f64; 3], thick: f64) -> Vec<Ware> {
    let [x0, y0, z0] = low;
    let [x1, y1, z1] = high;
    vec![
        block([x0, y0, z0], [x1, y1, z0 + thick]),
        block([x0, y0, z0 + thick], [x0 + thick, y1, z1]),
        block([x1 - thick, y0, z0 + thick], [x1, y1, z1]),
        block([x0 + thick, y0, z0 + thick], [x1 - thick, y0 + thick, z1]),
        block([x0 + thick, y1 - thick, z0 + thick], [x1 - thick, y1, z1]),
    ]
}

/// A flat rim round an opening, both seen from above.
fn rim(outer: [f64; 4], inner: [f64; 4], z: [f64; 2]) -> Vec<Ware> {
    let [x0, y0, x1, y1] = outer;
    let [a0, b0, a1, b1] = inner;
    vec![
        block([x0, y0, z[0]], [x1, b0, z[1]]),
        block([x0, b1, z[0]], [x1, y1, z[1]]),
        block([x0, b0, z[0]], [a0, b1, z[1]]),
        block([a1, b0, z[0]], [x1, b1, z[1]]),
    ]
}

/// A spout standing on a deck and reaching over the basin.
fn spout(x: f64, y: f64, z: f64, tall: f64, reach: f64) -> Vec<Ware> {
    vec![
        round([x, y, z], [x, y, z + tall], 0.5, Stuff::Steel),
        round([x, y - 0.4, z + tall], [x, y + reach, z + tall - 0.6], 0.45, Stuff::Steel),
        round([x - 4.0, y, z], [x - 4.0, y, z + 2.0], 0.7, Stuff::Steel),
        round([x + 4.0, y, z], [x + 4.0, y, z + 2.0], 0.7, Stuff::Steel),
    ]
}

/// The shapes of a kind, round the drain.
pub(super) fn wares(kind: FixtureKind) -> Vec<Ware> {
    match kind {
        FixtureKind::Closet => vec![
            // Foot, bowl long towards the room, seat, tank with its lid against the wall.
            block([-4.2, -5.0, 0.0], [4.2, 9.0, 12.0]),
            round([0.0, 9.0, 0.0], [0.0, 9.0, 12.0], 4.2, Stuff::Ware),
            round([0.0, 2.0, 10.5], [0.0, 2.0, 14.5], 6.8, Stuff::Ware),
            block([-6.8, 2.0, 10.5], [6.8, 9.5, 14.5]),
            round([0.0, 9.5, 10.5], [0.0, 9.5, 14.5], 6.8, Stuff::Ware),
            block([-7.2, -3.5, 14.8], [7.2, 9.5, 15.8]),
            round([0.0, 9.5, 14.8], [0.0, 9.5, 15.8], 7.2, Stuff::Ware),
            block([-9.0, -11.5, 14.5], [9.0, -4.0, 28.0]),
            block([-9.5, -11.8, 28.0], [9.5, -3.6, 29.2]),
        ],
        FixtureKind::Lavatory => {
            let mut all = rim([-10.0, 0.0, 10.0, 18.0], [-7.5, 5.0, 7.5, 16.0], [31.0, 33.0]);
            all.extend(basin([-8.0, 4.5, 26.5], [8.0, 16.5, 31.0], 0.5));
            all.extend(spout(0.0, 2.5, 33.0, 4.0, 5.0));
            all
        }
        FixtureKind::KitchenSink => {
            let mut all = rim([-18.0, 0.5, 18.0, 24.0], [-15.0, 5.0, 15.0, 21.0], [34.5, 36.0]);
            all.extend(basin([-15.5, 4.5, 27.5], [-0.5, 21.5, 34.5], 0.5));
            all.extend(basin([0.5, 4.5, 27.5], [15.5, 21.5, 34.5], 0.5));
            all.push(block([-0.5, 5.0, 33.0], [0.5, 21.0, 35.6]));
            all.extend(spout(0.0, 2.5, 36.0, 9.0, 8.0));
            all
        }
        FixtureKind::LaundryTub => {
            let mut all = basin([-11.0, 0.5, 20.0], [11.0, 21.0, 34.0], 0.8);
            for (x, y) in [(-9.5, 2.0), (9.5, 2.0), (-9.5, 19.5), (9.5, 19.5)] {
                all.push(round([x, y, 0.0], [x, y, 20.0], 0.7, Stuff::Steel));
            }
            all.extend(spout(0.0, 1.6, 34.0, 5.0, 6.0));
            all
        }
        FixtureKind::Tub => {
            let mut all = basin([-14.0, -14.0, 0.0], [14.0, 46.0, 16.0], 2.5);
            // The drain end is where the pipe is: the spout is over it.
            all.push(round([0.0, -14.0, 20.0], [0.0, -8.5, 20.0], 0.9, Stuff::Steel));
            all
        }
        FixtureKind::Shower => {
            let mut all = basin([-16.0, -16.0, 0.0], [16.0, 16.0, 4.0], 1.5);
            all.push(round([0.0, 0.0, 1.4], [0.0, 0.0, 1.7], 2.1, Stuff::Steel));
            all
        }
        FixtureKind::WasherBox => {
            let mut all = vec![block([-5.0, -2.6, 34.0], [5.0, -2.2, 43.0])];
            // Set on edge in the wall: its rim is proud, its back is between the studs.
            for (low, high) in [
                ([-5.0, -2.2, 34.0], [-4.5, 1.0, 43.0]),
                ([4.5, -2.2, 34.0], [5.0, 1.0, 43.0]),
                ([-4.5, -2.2, 34.0], [4.5, 1.0, 34.5]),
                ([-4.5, -2.2, 42.5], [4.5, 1.0, 43.0]),
            ] {
                all.push(block(low, high));
            }
            for x in [-2.5, 2.5] {
                all.push(round([x, -2.2, 39.5], [x, -0.2, 39.5], 0.8, Stuff::Steel));
            }
            all
        }
        FixtureKind::FloorDrain => vec![round([0.0, 0.0, -0.4], [0.0, 0.0, 0.3], 3.5, Stuff::Steel)],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::job::fixture::FixtureKind as Kind;

    // Common practice: a basin is open at the top, or it isn't one. A plumb line dropped over each drain comes to rest lower
    // than the rim beside it.
    #[test]
    fn what_holds_water_is_open() {
        for kind in [Kind::Lavatory, Kind::LaundryTub, Kind::Tub, Kind::Shower] {
            let all = wares(kind);
            let ware = || all.iter().filter(|w| w.stuff == Stuff::Ware);
            let rim = ware().map(|w| w.body.aabb().1.z).fold(f64::NEG_INFINITY, f64::max);
            let over = |x: f64, y: f64| {
                ware()
                    .map(|w| w.body.aabb())
                    .filter(|(l, h)| (l.x..=h.x).contains(&x) && (l.y..=h.y).contains(&y))
                    .map(|(_, h)| h.z)
                    .fold(f64::NEG_INFINITY, f64::max)
            };
            let y = if matches!(kind, Kind::Tub | Kind::Shower) { 0.0 } else { 10.0 };
            assert!(over(0.0, y) < rim - 2.0, "{kind:?}: {} below {rim}", over(0.0, y));
        }
    }

    #[test]
    fn nothing_is_below_the_floor_but_a_floor_drain() {
        use Kind::{Closet, FloorDrain, KitchenSink, LaundryTub, Lavatory, Shower, Tub, WasherBox};
        for kind in [Closet, Lavatory, KitchenSink, LaundryTub, Tub, Shower, WasherBox, FloorDrain] {
            let low = wares(kind).iter().map(|w| w.body.aabb().0.z).fold(f64::INFINITY, f64::min);
            assert!(low >= if kind == FloorDrain { -0.5 } else { 0.0 }, "{kind:?} reaches down to {low}");
        }
    }
}
