//! Closets and other fixtures as they stand in their room: where the drain is, the wall behind, and what stands round it on
//! the plan.

use crate::ctx::Ctx;
use crate::lean::position_error;
use crate::obstacle::Obstacle;
use nalgebra::{Point2, Vector2, Vector3};
use truefall_model::framing::space::{FloorSpace, WallSpace};
use truefall_model::job::fixture::{Fixture, FixtureKind};
use truefall_model::label::Label;
use truefall_model::place::Landing;
use truefall_model::units::Length;

/// The finish of one wall may stand this proud of its neighbour's without being an obstruction.
const SKIN: Length = Length::inches(1.0);

/// A closet, or another fixture against a wall, whose drain is placed and whose wall is named.
#[derive(Debug, Clone, Copy)]
pub struct Closet<'a> {
    /// The closet.
    pub fixture: &'a Fixture,
    /// Where its flange is.
    pub landing: &'a Landing,
    /// The wall it stands against.
    pub wall: &'a WallSpace,
    /// The floor it stands on.
    pub floor: &'a FloorSpace,
}

impl<'a> Closet<'a> {
    /// All closets of the job that a run ends at and that name their wall.
    pub fn each(ctx: &Ctx<'a>) -> Vec<Self> {
        Self::of_kind(ctx, FixtureKind::Closet)
    }

    /// The same of another kind of fixture, with where its drain lands in the place of the flange.
    pub fn of_kind(ctx: &Ctx<'a>, kind: FixtureKind) -> Vec<Self> {
        let of = |landing: &'a Landing| {
            let fixture = ctx.job.fixtures.get(landing.fixture)?;
            let framed = &ctx.rough_in.framed;
            (fixture.kind == kind).then_some(())?;
            Some(Self {
                fixture,
                landing,
                wall: framed.wall(fixture.wall.as_ref()?)?,
                floor: framed.floor(&fixture.floor)?,
            })
        };
        ctx.placed.landings.iter().filter_map(of).collect()
    }

    /// Its name.
    pub fn name(&self) -> &'a Label {
        &self.fixture.name
    }

    /// From the finished face of its wall to the flange's centre.
    pub fn rough(&self) -> Length {
        Length::inches(self.wall.measure(self.landing.at.xy()).1 - self.wall.finish_room)
    }

    /// A point of the plan from the flange's centre: to the left as one faces the wall, and out into the room.
    pub fn local(&self, point: Point2<f64>) -> Point2<f64> {
        let off = point - self.landing.at.xy();
        Point2::new(off.dot(&self.wall.along), off.dot(&self.wall.into_room))
    }

    /// What stands round it below `height` over its finished floor, in its own frame; its own wall is none of it.
    pub fn obstacles(&self, ctx: &Ctx<'a>, height: Length) -> Vec<Obstacle<'a>> {
        let low = self.floor.finished_z;
        let found = Obstacle::between(&ctx.rough_in.framed, low, low + height.to_inches());
        let others = found.into_iter().filter(|o| *o.label != self.wall.label);
        others.map(|o| o.map(|p| self.local(p))).collect()
    }

    /// How far out of its wall the space beside it begins, in its own frame.
    pub fn behind(&self) -> f64 {
        SKIN.to_inches() - self.rough().to_inches()
    }

    /// Standard error of where its flange is, along a direction of its own frame.
    pub fn error(&self, ctx: &Ctx<'_>, along: Vector2<f64>) -> Length {
        let way = self.wall.along * along.x + self.wall.into_room * along.y;
        position_error(ctx, self.landing.part, self.landing.at, Vector3::new(way.x, way.y, 0.0))
    }

    /// The names of what a finding about it is about.
    pub fn labels(&self, ctx: &Ctx<'a>) -> Vec<&'a Label> {
        vec![self.name(), ctx.label(self.landing.part)]
    }
}
