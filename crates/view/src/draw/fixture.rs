//! Fixtures as plain shapes one knows at a glance; sizes are usual ones from memory, for the eye only.

use super::batch::Piece;
use super::shown;
use super::stuff::Stuff;
use crate::loaded::Loaded;
use crate::look::Look;
use nalgebra::{Isometry3, Point3, Rotation3, UnitQuaternion, Vector3};
use truefall_model::job::fixture::FixtureKind;
use truefall_model::solid::Body;

/// A block of a fixture in its own frame: right, away from the wall, up from the finished floor, inches.
struct Block([f64; 3], [f64; 3]);

/// Least and greatest corners, round the drain.
fn blocks(kind: FixtureKind) -> Vec<Block> {
    match kind {
        FixtureKind::Closet => vec![
            Block([-6.0, -5.0, 0.0], [6.0, 10.0, 13.0]),
            Block([-7.5, -4.0, 13.0], [7.5, 15.0, 15.5]),
            Block([-9.0, -11.5, 14.0], [9.0, -4.0, 29.0]),
        ],
        FixtureKind::Lavatory => {
            vec![Block([-10.0, 0.0, 31.0], [10.0, 18.0, 33.0]), Block([-8.0, 2.0, 26.0], [8.0, 16.0, 31.0])]
        }
        FixtureKind::KitchenSink => {
            vec![Block([-18.0, 0.5, 34.5], [18.0, 24.0, 36.0]), Block([-15.0, 3.0, 27.0], [15.0, 21.0, 34.5])]
        }
        FixtureKind::LaundryTub => vec![Block([-11.0, 0.5, 20.0], [11.0, 21.0, 34.0])],
        FixtureKind::Tub => vec![
            Block([-14.0, -14.0, 0.0], [-11.5, 46.0, 16.0]),
            Block([11.5, -14.0, 0.0], [14.0, 46.0, 16.0]),
            Block([-11.5, -14.0, 0.0], [11.5, -11.5, 16.0]),
            Block([-11.5, 43.0, 0.0], [11.5, 46.0, 16.0]),
            Block([-11.5, -11.5, 0.0], [11.5, 43.0, 2.0]),
        ],
        FixtureKind::Shower => vec![Block([-16.0, -16.0, 0.0], [16.0, 16.0, 3.0])],
        FixtureKind::WasherBox => vec![Block([-5.0, -1.0, 34.0], [5.0, 1.5, 43.0])],
        FixtureKind::FloorDrain => vec![Block([-3.5, -3.5, -0.4], [3.5, 3.5, 0.3])],
    }
}

/// The fixtures on the floors that are shown.
pub(super) fn pieces(loaded: &Loaded, look: &Look) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let framed = &loaded.seen.rough_in.framed;
    for landing in &loaded.seen.rough_in.found.landings {
        let fixture = &loaded.job.fixtures[landing.fixture];
        let Some(floor) = framed.floor(&fixture.floor) else { continue };
        if !shown::point(loaded, look, Point3::new(landing.wants.x, landing.wants.y, floor.finished_z + 1.0))
        {
            continue;
        }
        let wall = fixture.wall.as_ref().and_then(|w| framed.wall(w));
        let out = wall.map_or_else(Vector3::y, |w| {
            let (_, off) = w.measure(landing.wants.xy());
            let sign = if off >= -w.depth / 2.0 { 1.0 } else { -1.0 };
            Vector3::new(w.into_room.x * sign, w.into_room.y * sign, 0.0)
        });
        let right = out.cross(&Vector3::z());
        let turn = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(
            nalgebra::Matrix3::from_columns(&[right, out, Vector3::z()]),
        ));
        let at = Point3::new(landing.wants.x, landing.wants.y, floor.finished_z);
        for Block(low, high) in blocks(fixture.kind) {
            let (low, high) = (Point3::from(low), Point3::from(high));
            let pose = Isometry3::from_parts(at.coords.into(), turn)
                * Isometry3::from(nalgebra::center(&low, &high).coords);
            pieces.push(Piece::plain(Body::Cuboid { pose, half: (high - low) / 2.0 }, Stuff::Ware));
        }
    }
    pieces
}
