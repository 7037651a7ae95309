//! The house framed: what stands where, in inches on the job's axes.

use super::house::House;
use super::member::{FloorId, Member, MemberId, WallId};
use super::provided::Provided;
use super::space::{FloorSpace, KeepOutSpace, RoofSpace, WallSpace, WindowSpace};
use super::trouble::FrameTrouble;
use crate::job::height::{Height, Surface};
use crate::job::point::PlanPoint;
use crate::label::Label;
use nalgebra::{Point2, Point3, Vector2};

/// Everything of the house that takes up space. All orders are by id, which is the order of the document.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Framed {
    /// The floors.
    pub floors: Vec<FloorSpace>,
    /// The walls.
    pub walls: Vec<WallSpace>,
    /// The wood: floor by floor, wall by wall, then loose members, then rafters.
    pub members: Vec<Member>,
    /// What no pipe may pass through.
    pub keep_outs: Vec<KeepOutSpace>,
    /// Windows a vent's end must keep away from.
    pub windows: Vec<WindowSpace>,
    /// The roof.
    pub roof: Vec<RoofSpace>,
}

impl Framed {
    /// Frames a house. What is at fault is left out or trimmed and told; the rest stands.
    pub fn of(house: &House) -> (Self, Vec<FrameTrouble>) {
        Self::with_provided(house, &[])
    }

    /// Frames a house with the studs doubled that the job provides.
    pub fn with_provided(house: &House, provided: &[Provided]) -> (Self, Vec<FrameTrouble>) {
        super::build::build(house, provided)
    }

    /// The floor of a name.
    pub fn floor(&self, name: &Label) -> Option<&FloorSpace> {
        self.floors.iter().find(|f| f.label == *name)
    }

    /// The wall of a name.
    pub fn wall(&self, name: &Label) -> Option<&WallSpace> {
        self.walls.iter().find(|w| w.label == *name)
    }

    /// The member of a name.
    pub fn member(&self, name: &Label) -> Option<&Member> {
        self.members.iter().find(|m| m.label == *name)
    }

    /// The floor of an id of this frame.
    pub fn floor_of(&self, id: FloorId) -> Option<&FloorSpace> {
        self.floors.get(id.0 as usize)
    }

    /// The wall of an id of this frame.
    pub fn wall_of(&self, id: WallId) -> Option<&WallSpace> {
        self.walls.get(id.0 as usize)
    }

    /// The member of an id of this frame.
    pub fn member_of(&self, id: MemberId) -> Option<&Member> {
        self.members.get(id.0 as usize)
    }

    /// A height over the rough surface of the datum floor, inches; `None` where its floor is unknown.
    pub fn height(&self, height: &Height) -> Option<f64> {
        let floor = self.floor(&height.floor)?;
        let surface = match height.surface {
            Surface::Rough => floor.rough_z,
            Surface::Finished => floor.finished_z,
        };
        Some(surface + height.off.to_inches())
    }

    /// A point of the plan, inches; `None` where its wall is unknown, and for a point under a fixture, which the
    /// house does not know.
    pub fn point(&self, point: &PlanPoint) -> Option<Point2<f64>> {
        match point {
            PlanPoint::At { x, y } => Some(Point2::new(x.to_inches(), y.to_inches())),
            PlanPoint::OffWall { wall, along, out, face } => {
                let wall = self.wall(wall)?;
                let face = match face {
                    Surface::Rough => 0.0,
                    Surface::Finished => wall.finish_room,
                };
                Some(wall.at(along.to_inches(), face + out.to_inches()))
            }
            PlanPoint::Under { .. } => None,
        }
    }

    /// The wall one faces from a point in a direction on the plan: the nearest that a ray meets, walls that stand at
    /// the point's height before all others.
    pub fn wall_facing(&self, from: Point3<f64>, heading: Vector2<f64>) -> Option<&WallSpace> {
        let off = |w: &WallSpace| (w.z0 - from.z).max(from.z - w.z1).max(0.0);
        self.walls
            .iter()
            .filter_map(|w| Some((off(w), w.hit(from.xy(), heading)?, w)))
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))
            .map(|(_, _, w)| w)
    }

    /// The roof over a point on the plan and the height of its outer surface: the highest, where planes overlap.
    pub fn roof_over(&self, x: f64, y: f64) -> Option<(&RoofSpace, f64)> {
        self.roof.iter().filter_map(|r| Some((r, r.height_at(x, y)?))).max_by(|a, b| a.1.total_cmp(&b.1))
    }
}
