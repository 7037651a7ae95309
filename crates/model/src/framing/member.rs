//! A member: one piece of wood, a box in space.

use crate::label::Label;
use crate::units::Length;
use nalgebra::{Isometry3, Point3, Unit, Vector3};

/// A member of one frame: its place in [`Framed::members`](super::frame::Framed::members).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MemberId(pub u32);

/// A wall of one frame: its place in [`Framed::walls`](super::frame::Framed::walls).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WallId(pub u32);

/// A floor of one frame: its place in [`Framed::floors`](super::frame::Framed::floors).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FloorId(pub u32);

choice! {
    /// What a member is.
    pub enum MemberKind {
        /// A stud of full height.
        Stud = "stud",
        /// A full-height stud beside an opening.
        King = "king",
        /// A stud under the end of a header.
        Jack = "jack",
        /// A short stud over a header or under a sill.
        Cripple = "cripple",
        /// A plate under the studs.
        BottomPlate = "bottom_plate",
        /// A plate over the studs.
        TopPlate = "top_plate",
        /// The beam over an opening.
        Header = "header",
        /// The flat piece under a window.
        Sill = "sill",
        /// A piece between studs or joists.
        Blocking = "blocking",
        /// A sawn joist.
        Joist = "joist",
        /// The board across the ends of joists.
        Rim = "rim",
        /// An I-joist; its box is as wide as its flanges.
        IJoist = "i_joist",
        /// A truss; its box encloses it.
        Truss = "truss",
        /// A beam.
        Beam = "beam",
        /// A post.
        Post = "post",
        /// A brace.
        Brace = "brace",
        /// A rafter.
        Rafter = "rafter",
        /// A sheet of the subfloor.
        Subfloor = "subfloor",
    }
}

impl MemberKind {
    /// A hole goes through it up and down.
    pub fn is_flat(self) -> bool {
        matches!(self, Self::BottomPlate | Self::TopPlate | Self::Sill | Self::Subfloor)
    }

    /// It stands in a wall.
    pub fn is_upright(self) -> bool {
        matches!(self, Self::Stud | Self::King | Self::Jack | Self::Cripple | Self::Post)
    }

    /// A beam of a floor: joists of all makes.
    pub fn is_joist(self) -> bool {
        matches!(self, Self::Joist | Self::IJoist | Self::Truss)
    }
}

choice! {
    /// Whether a member carries load.
    pub enum Bearing {
        /// The user says so, or it can't be otherwise.
        Yes = "yes",
        /// The user says not.
        No = "no",
        /// Nobody said; it is taken as bearing.
        Assumed = "assumed",
    }
}

impl Bearing {
    /// What an answer means; without one it is assumed.
    pub fn said(bearing: Option<bool>) -> Self {
        match bearing {
            Some(true) => Self::Yes,
            Some(false) => Self::No,
            None => Self::Assumed,
        }
    }

    /// Rules must take it as bearing.
    pub fn counts(self) -> bool {
        self != Self::No
    }
}

/// One piece of wood: a box with local axes x = thickness (the way a hole is drilled through), y = depth,
/// z = length. Touching another member is no overlap.
///
/// | kind | x | y | z |
/// |---|---|---|---|
/// | upright in a wall | along the wall | into the room | up |
/// | plate, sill, blocking in a wall | down | into the room | along the wall |
/// | header | into the room | up | along the wall |
/// | joist, rim, beam | level | up | along it |
/// | rafter | level | square to the roof | up the slope |
/// | subfloor | down | level, the shorter way | level, the longer way |
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Its id.
    pub id: MemberId,
    /// Its name, such as `north stud 3`.
    pub label: Label,
    /// What it is.
    pub kind: MemberKind,
    /// Centre and axes in the job's axes, inches.
    pub pose: Isometry3<f64>,
    /// Half of its thickness, depth and length, inches.
    pub half: Vector3<f64>,
    /// The wall it belongs to.
    pub wall: Option<WallId>,
    /// The floor it carries, or its wall stands on.
    pub floor: Option<FloorId>,
    /// Whether it carries load.
    pub bearing: Bearing,
    /// How many plies stand together, this one counted; 2 for each of a doubled stud.
    pub plies: u32,
    /// Its near edge along its wall from the `from` corner; of a joist, across the joists from the outline's corner.
    pub along: Option<Length>,
    /// How tall a flange is, top and bottom, where it has flanges.
    pub flange: Option<Length>,
    /// Nobody measured where it is: its place comes from a usual spacing.
    pub assumed: bool,
}

impl Member {
    /// Full thickness, the way a hole goes through.
    pub fn thickness(&self) -> Length {
        Length::inches(2.0 * self.half.x)
    }

    /// Full depth.
    pub fn depth(&self) -> Length {
        Length::inches(2.0 * self.half.y)
    }

    /// Full length.
    pub fn length(&self) -> Length {
        Length::inches(2.0 * self.half.z)
    }

    /// Its middle, in the job's axes, inches.
    pub fn centre(&self) -> Point3<f64> {
        self.pose.translation.vector.into()
    }

    /// The way of its thickness in the job's axes.
    pub fn across(&self) -> Unit<Vector3<f64>> {
        Unit::new_unchecked(self.pose.rotation * Vector3::x())
    }

    /// The way of its depth in the job's axes.
    pub fn deep(&self) -> Unit<Vector3<f64>> {
        Unit::new_unchecked(self.pose.rotation * Vector3::y())
    }

    /// The way of its length in the job's axes.
    pub fn lengthwise(&self) -> Unit<Vector3<f64>> {
        Unit::new_unchecked(self.pose.rotation * Vector3::z())
    }

    /// Its eight corners in the job's axes, inches.
    pub fn corners(&self) -> [Point3<f64>; 8] {
        std::array::from_fn(|i| {
            let sign = |bit: usize| if i >> bit & 1 == 0 { -1.0 } else { 1.0 };
            let local = Vector3::new(sign(0), sign(1), sign(2)).component_mul(&self.half);
            self.pose * Point3::from(local)
        })
    }

    /// Least and greatest corner of the box along the job's axes that encloses it, inches.
    pub fn bounds(&self) -> (Point3<f64>, Point3<f64>) {
        let corners = self.corners();
        let first = corners[0];
        corners.iter().fold((first, first), |(low, high), c| (low.inf(c), high.sup(c)))
    }
}
