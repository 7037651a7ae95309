//! Trap arms: the way waste takes from a trap's weir to the fitting where its vent opens.
//!
//! An arm is measured as the trade does: level, along the centre line through the fittings, from the weir to the inner
//! edge of the vent. Its fall is that of the centre line over the same way. A closet's trap is inside the closet; it has
//! no arm here.

use crate::ctx::Ctx;
use crate::vent::{Trap, trap_part};
use nalgebra::Point3;
use truefall_model::job::Placement;
use truefall_model::place::{Landing, Leg, PartId, RoughIn};
use truefall_model::units::{Grade, Length, NominalSize};

/// One trap arm in one placement.
#[derive(Debug, Clone)]
pub struct Arm {
    /// Index of the fixture in the job.
    pub fixture: usize,
    /// The part the trap is in, or that it will be hung on.
    pub trap: PartId,
    /// The smallest pipe of the arm.
    pub size: NominalSize,
    /// The trap's weir.
    pub weir: Point3<f64>,
    /// The straight lengths from the weir to the vent, or to the base where there is no vent.
    pub steps: Vec<Step>,
    /// Where its vent opens; none where it has no vent, or one by a method that limits no arm.
    pub vent: Option<Vent>,
}

/// One straight length of an arm.
#[derive(Debug, Clone)]
pub struct Step {
    /// The fitting at its end towards the base.
    pub to: PartId,
    /// Level length.
    pub level: Length,
    /// How far the centre line falls over it; below zero where it rises.
    pub fall: Length,
    /// Standard error of the fall from the survey.
    pub error: Length,
}

/// Where an arm meets its vent.
#[derive(Debug, Clone)]
pub struct Vent {
    /// The fitting.
    pub fitting: PartId,
    /// Half the bore of the port the air comes through: from the fitting's centre to the vent's inner edge.
    pub half_bore: Length,
    /// The point of the arm's centre line under the vent's inner edge.
    pub edge: Point3<f64>,
}

impl Arm {
    /// Level length from the weir to the vent's inner edge.
    pub fn length(&self) -> Length {
        self.steps.iter().map(|s| s.level).sum()
    }

    /// Fall of the centre line over that length.
    pub fn fall(&self) -> Length {
        self.steps.iter().map(|s| s.fall).sum()
    }

    /// Standard error of the fall: the steps hang on one stack, so their errors go one way.
    pub fn fall_error(&self) -> Length {
        self.steps.iter().map(|s| s.error).sum()
    }
}

/// The arms of all traps, by landing.
pub fn arms<'a>(ctx: &Ctx<'a>) -> &'a [Arm] {
    ctx.vents
        .arms
        .get_or_init(|| ctx.placed.landings.iter().filter_map(|landing| arm(ctx, landing)).collect())
}

fn arm(ctx: &Ctx<'_>, landing: &Landing) -> Option<Arm> {
    let weir = landing.weir?;
    let rough_in = ctx.rough_in;
    let trap = trap_part(rough_in, landing.part);
    let vented = ctx.vents.trap(landing.fixture).and_then(Trap::arm_end);
    let mut size = rough_in.part(trap).size();
    let mut points = vec![start(ctx, trap, weir)];
    let mut ends = Vec::new();
    let mut errors = Vec::new();
    let mut at = trap;
    let mut vent = None;
    while let Some(leg) = leg_down(rough_in, at) {
        size = size.min(leg.size);
        let fitting = leg.low;
        points.push(ctx.placed.origin(fitting));
        ends.push(fitting);
        errors.push(match ctx.placement() {
            Placement::Drawn => Grade::LEVEL,
            Placement::Found => rough_in.grade_error(leg.id),
        });
        if let Some((_, port)) = vented.filter(|(vented, _)| *vented == fitting) {
            let half_bore = bore(rough_in, fitting, port) / 2.0;
            let edge = clip(&mut points, half_bore.to_inches());
            vent = Some(Vent { fitting, half_bore, edge });
            break;
        }
        at = fitting;
    }
    let steps = points
        .windows(2)
        .zip(ends.iter().zip(errors))
        .map(|(pair, (to, error))| {
            let (level, fall) = level_and_fall(pair[0], pair[1]);
            Step { to: *to, level, fall, error: error.over(level).abs() }
        })
        .collect();
    Some(Arm { fixture: landing.fixture, trap, size, weir, steps, vent })
}

/// The point of the arm's centre line over the weir. A trap's weir is the bottom of its bore, its outlet's axis passes
/// above it; a trap hung at finish has its weir on the stub's axis.
fn start(ctx: &Ctx<'_>, trap: PartId, weir: Point3<f64>) -> Point3<f64> {
    let part = ctx.rough_in.part(trap);
    let Some(pattern) = part.pattern().filter(|p| p.weir.is_some()) else { return weir };
    let (origin, out) = (ctx.placed.origin(trap), ctx.placed.axis(ctx.rough_in, trap, pattern.enter));
    let level = out.xy();
    if level.norm_squared() < 1e-12 {
        return weir;
    }
    origin + out * ((weir - origin).xy().dot(&level) / level.norm_squared())
}

/// The leg by which a part hangs on the rest, on the base's side; none for a base.
pub fn leg_down(rough_in: &RoughIn, part: PartId) -> Option<&Leg> {
    let below = rough_in.network.below(part)?;
    rough_in.legs.iter().find(|leg| match leg.piece {
        Some(piece) => piece == part || (leg.high == Some(part) && piece == below),
        None => leg.high == Some(part) && leg.low == below,
    })
}

/// The bore of a fitting's port.
pub(crate) fn bore(rough_in: &RoughIn, fitting: PartId, port: usize) -> Length {
    let part = rough_in.part(fitting);
    part.pattern().map_or_else(|| part.size().nominal(), |p| p.ports[port].bore)
}

fn level_and_fall(from: Point3<f64>, to: Point3<f64>) -> (Length, Length) {
    (Length::inches((to - from).xy().norm()), Length::inches(from.z - to.z))
}

/// Cuts the last straight length back by a level distance (to nothing at most) and gives the new end.
fn clip(points: &mut [Point3<f64>], level_in: f64) -> Point3<f64> {
    let [.., from, to] = points else { return points.first().copied().unwrap_or_else(Point3::origin) };
    let way = *to - *from;
    let level = way.xy().norm();
    if level > 1e-9 {
        *to -= way * (level_in / level).min(1.0);
    }
    *to
}

#[cfg(test)]
mod tests {
    use super::*;

    // An arm 54 in to the stack's centre at 1/4 in per ft; half the bore of a 3 in stack (3.068 in, ASTM D1785 least
    // wall) comes off. By hand: 54 - 1.534 = 52.466 level, falling 52.466 / 48 = 1.0930.
    #[test]
    fn the_last_length_ends_at_the_vents_inner_edge() {
        let mut points = [Point3::new(54.0, 0.0, 1.125), Point3::new(0.0, 0.0, 0.0)];
        let edge = clip(&mut points, 1.534);
        let (level, fall) = level_and_fall(points[0], points[1]);
        assert!((level.to_inches() - 52.466).abs() < 1e-12);
        assert!((fall.to_inches() - 52.466 / 48.0).abs() < 1e-12);
        assert!((edge.x - 1.534).abs() < 1e-12);
    }

    #[test]
    fn a_drop_into_the_vent_fitting_is_not_clipped() {
        let mut points = [Point3::new(0.0, 0.0, 9.0), Point3::new(0.0, 0.0, 0.0)];
        assert_eq!(clip(&mut points, 1.5), Point3::origin());
        let mut short = [Point3::new(1.0, 0.0, 0.0), Point3::new(0.0, 0.0, 0.0)];
        assert_eq!(clip(&mut short, 1.5), Point3::new(1.0, 0.0, 0.0), "no shorter than nothing");
    }
}
