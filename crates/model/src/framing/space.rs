//! Floors, walls, roof planes, windows and keep-outs in space; inches on the job's axes.

use super::keep_out::KeepOutKind;
use super::member::{Bearing, FloorId, WallId};
use crate::label::Label;
use nalgebra::{
    Isometry3, Matrix3, Point2, Point3, Rotation3, Translation3, UnitQuaternion, Vector2, Vector3,
};

/// A floor in space.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorSpace {
    /// Its id.
    pub id: FloorId,
    /// Its name.
    pub label: Label,
    /// It is the datum floor.
    pub datum: bool,
    /// Height of its rough surface.
    pub rough_z: f64,
    /// Height of its finished surface.
    pub finished_z: f64,
    /// Thickness of the subfloor.
    pub subfloor: f64,
    /// Underside of its joists, where it has any.
    pub joists_bottom_z: Option<f64>,
    /// Least and greatest corner of what it covers on the plan.
    pub outline: Option<(Point2<f64>, Point2<f64>)>,
    /// Its openings by name, least and greatest corner each.
    pub openings: Vec<(Label, Point2<f64>, Point2<f64>)>,
}

/// A wall in space.
#[derive(Debug, Clone, PartialEq)]
pub struct WallSpace {
    /// Its id.
    pub id: WallId,
    /// Its name.
    pub label: Label,
    /// The floor it stands on.
    pub floor: FloorId,
    /// Its `from` corner on the bare stud face of the room's side.
    pub origin: Point2<f64>,
    /// The way along it, length 1.
    pub along: Vector2<f64>,
    /// The way out of its face into the room, length 1: `along` turned left.
    pub into_room: Vector2<f64>,
    /// How long it is.
    pub length: f64,
    /// True depth of its studs; the framing goes that far from the face, away from the room.
    pub depth: f64,
    /// Thickness of its studs.
    pub thick: f64,
    /// Underside of its bottom plates.
    pub z0: f64,
    /// Top of its top plates.
    pub z1: f64,
    /// Thickness of the finish on the room's side.
    pub finish_room: f64,
    /// Thickness of the finish on the back.
    pub finish_back: f64,
    /// Whether it carries load.
    pub bearing: Bearing,
    /// Its back is outdoors.
    pub exterior: bool,
    /// How deep the insulation against its back is.
    pub insulated: Option<f64>,
    /// Nobody measured its studs: they stand where a usual spacing puts them.
    pub studs_assumed: bool,
}

impl WallSpace {
    /// The point on the plan `along_in` from its `from` corner and `out_in` out of the bare stud face into the room.
    pub fn at(&self, along_in: f64, out_in: f64) -> Point2<f64> {
        self.origin + self.along * along_in + self.into_room * out_in
    }

    /// The same point at a height.
    pub fn at_height(&self, along_in: f64, out_in: f64, z: f64) -> Point3<f64> {
        let p = self.at(along_in, out_in);
        Point3::new(p.x, p.y, z)
    }

    /// How far along it and how far out of its bare stud face a point on the plan is.
    pub fn measure(&self, point: Point2<f64>) -> (f64, f64) {
        let off = point - self.origin;
        (off.dot(&self.along), off.dot(&self.into_room))
    }

    /// Along it, into the room and up, as the columns of a rotation.
    pub fn axes(&self) -> UnitQuaternion<f64> {
        let (a, n) = (self.along, self.into_room);
        turned(Vector3::new(a.x, a.y, 0.0), Vector3::new(n.x, n.y, 0.0), Vector3::z())
    }

    /// Where a ray on the plan first meets its framing: the distance, or `None`. A ray that starts in the framing
    /// meets it there when it leaves through the back, and else not at all.
    pub fn hit(&self, from: Point2<f64>, heading: Vector2<f64>) -> Option<f64> {
        let heading = heading.try_normalize(f64::EPSILON)?;
        let (along, out) = self.measure(from);
        if (0.0..=self.length).contains(&along) && (-self.depth..=0.0).contains(&out) {
            // Across the wall rather than along it.
            let backwards = heading.dot(&self.into_room) < -std::f64::consts::FRAC_1_SQRT_2;
            return backwards.then_some(0.0);
        }
        let slab = |at: f64, speed: f64, low: f64, high: f64| -> Option<(f64, f64)> {
            if speed.abs() < f64::EPSILON {
                return (low..=high).contains(&at).then_some((f64::NEG_INFINITY, f64::INFINITY));
            }
            let (a, b) = ((low - at) / speed, (high - at) / speed);
            Some((a.min(b), a.max(b)))
        };
        let (a0, a1) = slab(along, heading.dot(&self.along), 0.0, self.length)?;
        let (o0, o1) = slab(out, heading.dot(&self.into_room), -self.depth, 0.0)?;
        let (enter, leave) = (a0.max(o0), a1.min(o1));
        (enter <= leave && enter >= 0.0).then_some(enter)
    }
}

/// A plane of the roof in space.
#[derive(Debug, Clone, PartialEq)]
pub struct RoofSpace {
    /// Its name.
    pub label: Label,
    /// First point of its eave, on the outer surface.
    pub point: Point3<f64>,
    /// Square to it, upwards, length 1.
    pub normal: Vector3<f64>,
    /// The way along the eave on the plan, length 1.
    pub along: Vector2<f64>,
    /// The way up the slope on the plan, length 1: `along` turned left.
    pub upslope: Vector2<f64>,
    /// Length of the eave.
    pub length: f64,
    /// Level depth from the eave.
    pub run: f64,
    /// Rise for each inch of level run.
    pub slope: f64,
    /// It is walked on.
    pub walked: bool,
}

impl RoofSpace {
    /// Height of its outer surface over a point on the plan, within its outline.
    pub fn height_at(&self, x: f64, y: f64) -> Option<f64> {
        let off = Point2::new(x, y) - self.point.xy();
        let (along, up) = (off.dot(&self.along), off.dot(&self.upslope));
        let within =
            |at: f64, end: f64| (-crate::tolerance::SLACK..=end + crate::tolerance::SLACK).contains(&at);
        (within(along, self.length) && within(up, self.run)).then_some(self.point.z + up * self.slope)
    }
}

/// A keep-out in space: a box.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOutSpace {
    /// Its name.
    pub label: Label,
    /// What it is.
    pub kind: KeepOutKind,
    /// The wall it is in.
    pub wall: Option<WallId>,
    /// Centre and axes.
    pub pose: Isometry3<f64>,
    /// Half lengths along its axes; in a wall: along it, into the room, up.
    pub half: Vector3<f64>,
}

/// An openable window in space: the box of its opening through the wall with both finishes.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowSpace {
    /// Its name.
    pub label: Label,
    /// The wall it is in.
    pub wall: WallId,
    /// Centre and axes.
    pub pose: Isometry3<f64>,
    /// Half lengths along the wall, into the room, up.
    pub half: Vector3<f64>,
}

/// The turn whose local axes are the given ones: right-handed, square, length 1.
pub(super) fn turned(x: Vector3<f64>, y: Vector3<f64>, z: Vector3<f64>) -> UnitQuaternion<f64> {
    let matrix = Matrix3::from_columns(&[x, y, z]);
    UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(matrix))
}

/// A box by its centre and turn.
pub(super) fn posed(centre: Point3<f64>, turn: UnitQuaternion<f64>) -> Isometry3<f64> {
    Isometry3::from_parts(Translation3::from(centre.coords), turn)
}
