//! From the document to the frame, in the order of the document.

use super::floor::Layer;
use super::frame::Framed;
use super::house::House;
use super::member::{Bearing, FloorId, Member, MemberId, WallId};
use super::provided::Provided;
use super::space::{FloorSpace, RoofSpace, WallSpace, turned};
use super::trouble::{FrameTrouble, unknown};
use super::{joist_run, loose, rafter_row, wall_frame};
use crate::job::height::Height;
use crate::label::Label;
use crate::units::Length;
use nalgebra::{Point2, Point3, UnitQuaternion, Vector2, Vector3};

/// The frame while it is built, and what was wrong so far.
pub(super) struct Site<'h> {
    /// The document.
    pub house: &'h House,
    /// What stands already.
    pub framed: Framed,
    /// What was wrong.
    pub troubles: Vec<FrameTrouble>,
}

/// Builds the whole frame.
pub(super) fn build(house: &House, provided: &[Provided]) -> (Framed, Vec<FrameTrouble>) {
    let mut site = Site { house, framed: Framed::default(), troubles: Vec::new() };
    site.floors();
    site.walls(provided);
    loose::stand(&mut site);
    site.windows();
    site.keep_outs();
    site.roof();
    site.heights();
    site.same_names();
    (site.framed, site.troubles)
}

impl Site<'_> {
    /// Puts a member into the frame and gives it its id.
    pub fn push(&mut self, member: Member) {
        let id = MemberId(self.framed.members.len() as u32);
        self.framed.members.push(Member { id, ..member });
    }

    /// Notes a trouble.
    pub fn trouble(&mut self, path: impl Into<String>, message: impl Into<String>) {
        self.troubles.push(FrameTrouble::new(path, message));
    }

    /// Whether a length is more than nothing; tells if not.
    pub fn is_positive(&mut self, path: impl Into<String>, what: &str, length: Length) -> bool {
        let good = length > Length::ZERO;
        if !good {
            self.trouble(path, format!("{what} is {length}, but must be more than nothing"));
        }
        good
    }

    /// The sum of the layers that are not negative.
    fn thickness(&mut self, path: &str, layers: &[Layer]) -> f64 {
        let mut sum = Length::ZERO;
        for (i, layer) in layers.iter().enumerate() {
            if layer.thick < Length::ZERO {
                let read = format!(
                    "the layer `{}` is {} thick, but can't be less than nothing",
                    layer.what, layer.thick
                );
                self.trouble(format!("{path}[{i}].thick"), read);
            } else {
                sum += layer.thick;
            }
        }
        sum.to_inches()
    }

    /// The wall of a name; tells where there is none.
    pub fn wall_named(&mut self, path: String, name: &Label) -> Option<WallSpace> {
        let found = self.framed.wall(name).cloned();
        // A wall that is written but could not stand has been told of already.
        if found.is_none() && !self.house.walls.iter().any(|w| w.name == *name) {
            self.troubles.push(unknown(path, "wall", name, self.house.walls.iter().map(|w| &w.name)));
        }
        found
    }

    /// A height in space; tells where its floor is unknown.
    pub fn height_of(&mut self, path: String, height: &Height) -> Option<f64> {
        let z = self.framed.height(height);
        if z.is_none() {
            self.troubles.push(unknown(
                path,
                "floor",
                &height.floor,
                self.house.floors.iter().map(|f| &f.name),
            ));
        }
        z
    }

    fn floors(&mut self) {
        let house = self.house;
        match house.floors.iter().filter(|f| f.datum).count() {
            1 => {}
            0 => self.trouble("house.floors", "no floor is the datum; write `datum: true` on exactly one"),
            n => self
                .trouble("house.floors", format!("{n} floors are marked `datum: true`; exactly one can be")),
        }
        for (i, floor) in house.floors.iter().enumerate() {
            let path = format!("house.floors[{i}]");
            let build_up = self.thickness(&format!("{path}.build_up"), &floor.build_up);
            let rough_z = match floor.rough {
                Some(rough) => rough.to_inches(),
                None if floor.datum => 0.0,
                None => {
                    let read =
                        format!("the height of `{}` over the datum's rough surface is missing", floor.name);
                    self.trouble(format!("{path}.rough"), read);
                    0.0
                }
            };
            if floor.datum && rough_z != 0.0 {
                self.trouble(
                    format!("{path}.rough"),
                    "the datum floor is where heights start: its `rough` can only be 0",
                );
            }
            if floor.subfloor < Length::ZERO {
                self.trouble(format!("{path}.subfloor"), "the subfloor can't be thinner than nothing");
            }
            let rough_z = if floor.datum { 0.0 } else { rough_z };
            let space = FloorSpace {
                id: FloorId(self.framed.floors.len() as u32),
                label: floor.name.clone(),
                datum: floor.datum,
                rough_z,
                finished_z: rough_z + build_up,
                subfloor: floor.subfloor.to_inches().max(0.0),
                joists_bottom_z: None,
                outline: floor.outline.map(|(a, b)| rectangle(a, b)),
                openings: (floor.openings.iter())
                    .map(|o| (o.name.clone(), rectangle(o.from, o.to)))
                    .map(|(name, (low, high))| (name, low, high))
                    .collect(),
            };
            let id = space.id;
            self.framed.floors.push(space);
            joist_run::lay(self, id, floor, &path);
        }
    }

    fn walls(&mut self, provided: &[Provided]) {
        let house = self.house;
        for (i, wall) in house.walls.iter().enumerate() {
            let path = format!("house.walls[{i}]");
            let finish_room = self.thickness(&format!("{path}.finish"), &wall.finish);
            let finish_back = self.thickness(&format!("{path}.finish_back"), &wall.finish_back);
            let (origin, end) = (plan(wall.from), plan(wall.to));
            let length = (end - origin).norm();
            if length <= 0.0 {
                self.trouble(format!("{path}.to"), format!("`{}` ends where it starts", wall.name));
                continue;
            }
            let Some(floor) = self.framed.floor(&wall.floor).cloned() else {
                let known = house.floors.iter().map(|f| &f.name);
                self.troubles.push(unknown(format!("{path}.floor"), "floor", &wall.floor, known));
                continue;
            };
            let along = (end - origin) / length;
            let space = WallSpace {
                id: WallId(self.framed.walls.len() as u32),
                label: wall.name.clone(),
                floor: floor.id,
                origin,
                along,
                into_room: Vector2::new(-along.y, along.x),
                length,
                depth: wall.depth.to_inches(),
                thick: wall.thick.to_inches(),
                z0: floor.rough_z,
                z1: floor.rough_z + wall.height.to_inches(),
                finish_room,
                finish_back,
                bearing: Bearing::said(wall.bearing),
                exterior: wall.exterior,
                insulated: None,
                studs_assumed: wall.studs.is_empty() && wall.spacing.is_none(),
            };
            let said = wall.doubled.iter().enumerate().map(|(j, at)| (format!("{path}.doubled[{j}]"), *at));
            let given = provided.iter().enumerate().filter_map(|(j, p)| match p {
                Provided::DoubledStud { wall: name, along } if *name == wall.name => {
                    Some((format!("provided[{j}].along"), *along))
                }
                _ => None,
            });
            let doubled: Vec<(String, Length)> = said.chain(given).collect();
            if let Some(space) = wall_frame::stand(self, space, wall, &doubled, &path) {
                self.framed.walls.push(space);
            }
        }
        for (i, insulation) in house.insulation.iter().enumerate() {
            let path = format!("house.insulation[{i}].wall");
            let Some(wall) = self.wall_named(path, &insulation.wall) else { continue };
            let deep = insulation.deep.map_or(wall.depth, Length::to_inches);
            self.framed.walls[wall.id.0 as usize].insulated = Some(deep);
        }
        for (i, item) in provided.iter().enumerate() {
            if let Provided::DoubledStud { wall, .. } = item {
                self.wall_named(format!("provided[{i}].wall"), wall);
            }
        }
    }

    /// Whether all three lengths of a box are more than nothing; tells if not.
    pub fn is_box(&mut self, path: &str, size: (Length, Length, Length)) -> bool {
        [size.0, size.1, size.2].into_iter().all(|l| self.is_positive(path, "a side", l))
    }

    fn roof(&mut self) {
        let house = self.house;
        for (i, roof) in house.roof.iter().enumerate() {
            let path = format!("house.roof[{i}]");
            let (from, to) = (plan(roof.eave.0), plan(roof.eave.1));
            let length = (to - from).norm();
            if length <= 0.0 {
                self.trouble(
                    format!("{path}.eave"),
                    format!("the eave of `{}` ends where it starts", roof.name),
                );
                continue;
            }
            if !self.is_positive(format!("{path}.run"), "the run", roof.run) {
                continue;
            }
            let Some(z) = self.height_of(format!("{path}.height"), &roof.height) else { continue };
            let along = (to - from) / length;
            let upslope = Vector2::new(-along.y, along.x);
            let slope = roof.pitch.to_per_foot() / 12.0;
            let space = RoofSpace {
                label: roof.name.clone(),
                point: Point3::new(from.x, from.y, z),
                normal: Vector3::new(-slope * upslope.x, -slope * upslope.y, 1.0).normalize(),
                along,
                upslope,
                length,
                run: roof.run.to_inches(),
                slope,
                walked: roof.walked,
            };
            rafter_row::lay(self, &space, roof, &path);
            self.framed.roof.push(space);
        }
    }

    fn heights(&mut self) {
        let house = self.house;
        if let Some(grade) = &house.outside_grade {
            self.height_of("house.outside_grade".into(), grade);
        }
    }

    fn same_names(&mut self) {
        let house = self.house;
        let names: [(&str, &str, Vec<&Label>); 3] = [
            ("floors", "floor", house.floors.iter().map(|f| &f.name).collect()),
            ("walls", "wall", house.walls.iter().map(|w| &w.name).collect()),
            ("keep_outs", "keep-out", house.keep_outs.iter().map(|k| &k.name).collect()),
        ];
        for (field, what, names) in names {
            for (i, name) in names.iter().enumerate() {
                if names[..i].contains(name) {
                    self.trouble(
                        format!("house.{field}[{i}].name"),
                        format!("a second {what} is called `{name}`"),
                    );
                }
            }
        }
    }
}

/// A point of the plan in inches.
pub(super) fn plan(point: (Length, Length)) -> Point2<f64> {
    Point2::new(point.0.to_inches(), point.1.to_inches())
}

/// Three lengths in inches.
pub(super) fn triple(size: (Length, Length, Length)) -> Vector3<f64> {
    Vector3::new(size.0.to_inches(), size.1.to_inches(), size.2.to_inches())
}

/// Centre and half size of a box along the job's axes.
pub(super) fn axis_box(
    from: (Length, Length, Length),
    size: (Length, Length, Length),
) -> (Point3<f64>, Vector3<f64>) {
    let half = triple(size) / 2.0;
    (Point3::from(triple(from) + half), half)
}

/// Least and greatest corner of a rectangle given by any two opposite corners.
fn rectangle(a: (Length, Length), b: (Length, Length)) -> (Point2<f64>, Point2<f64>) {
    let (a, b) = (plan(a), plan(b));
    (a.inf(&b), a.sup(&b))
}

/// The turn of a piece along the wall that lies flat: x down, y into the room, z along.
pub(super) fn flat_in(wall: &WallSpace) -> UnitQuaternion<f64> {
    let (a, n) = (wall.along, wall.into_room);
    turned(-Vector3::z(), Vector3::new(n.x, n.y, 0.0), Vector3::new(a.x, a.y, 0.0))
}

/// The turn of a piece along the wall that stands on edge: x into the room, y up, z along.
pub(super) fn on_edge_in(wall: &WallSpace) -> UnitQuaternion<f64> {
    let (a, n) = (wall.along, wall.into_room);
    turned(Vector3::new(n.x, n.y, 0.0), Vector3::z(), Vector3::new(a.x, a.y, 0.0))
}
