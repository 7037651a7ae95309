//! Fixtures where the job wants them, turned from their walls.

use super::batch::Piece;
use super::shown;
use super::ware::wares;
use crate::loaded::Loaded;
use crate::look::Look;
use nalgebra::{Isometry3, Point3, Rotation3, UnitQuaternion, Vector3};

/// The fixtures on the floors that are shown.
pub(crate) fn pieces(loaded: &Loaded, look: &Look) -> Vec<Piece> {
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
        let place = Isometry3::from_parts(at.coords.into(), turn);
        for ware in wares(fixture.kind) {
            pieces.push(Piece::plain(ware.body.transformed(&place), ware.stuff));
        }
    }
    pieces
}
