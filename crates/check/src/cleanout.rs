//! Cleanouts: where a drain can be rodded, as its fittings and the job say.

use crate::arm::leg_down;
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::drain::drains;
use crate::finding::Limit;
use nalgebra::{Point3, Vector3};
use truefall_model::catalog::family::Family;
use truefall_model::catalog::pattern::PortEnd;
use truefall_model::framing::provided::Provided;
use truefall_model::job::fixture::{Fixture, FixtureKind};
use truefall_model::label::Label;
use truefall_model::place::{Part, PartId, PartKind};
use truefall_model::units::NominalSize;

/// A cleanout on a fitting.
#[derive(Debug, Clone, Copy)]
pub struct Cleanout {
    /// The fitting.
    pub part: PartId,
    /// The port its plug is in; none where the job says there is one and no port of the fitting is plugged.
    pub port: Option<usize>,
}

impl Cleanout {
    /// All of them, by part: plugged ports of drains, cleanout tees, and fittings the job says have one. A plugged port that
    /// is too small for a cleanout and that the job does not list is a spare one.
    pub fn each(ctx: &Ctx<'_>) -> Vec<Self> {
        let of = |part: &Part| {
            let port = plug(part);
            let cleanout = Self { part: part.id, port };
            let named = is_listed(ctx, &part.label)
                || part.pattern().is_some_and(|p| p.family == Family::CleanoutTee);
            (named || (port.is_some() && !cleanout.is_too_small(ctx))).then_some(cleanout)
        };
        ctx.rough_in.parts.iter().filter(|p| ctx.is_wet(p.id)).filter_map(of).collect()
    }

    /// Where its opening is and which way it looks; none where that is not known.
    pub fn opening(&self, ctx: &Ctx<'_>) -> Option<(Point3<f64>, Vector3<f64>)> {
        let (part, port) = (ctx.rough_in.part(self.part), self.port?);
        let face = part.pattern()?.ports[port].face();
        Some((
            ctx.placed.world_from_part[self.part.0 as usize] * face,
            ctx.placed.axis(ctx.rough_in, self.part, port),
        ))
    }

    /// The size of the pipe behind it.
    pub fn size(&self, ctx: &Ctx<'_>) -> NominalSize {
        let part = ctx.rough_in.part(self.part);
        match (self.port, part.pattern()) {
            (Some(port), Some(pattern)) => pattern.ports[port].size,
            _ => part.size(),
        }
    }

    /// The least size the code takes here, in inches, and the size of the drain that leaves the fitting; none where none
    /// does, or the code's table leaves its size out.
    pub fn least<'c>(&self, ctx: &Ctx<'c>) -> Option<(&'c Figure, NominalSize)> {
        let leg = leg_down(ctx.rough_in, self.part)?;
        let stands = drains(ctx).iter().find(|d| d.leg == leg.id)?.stands();
        let on_stack = ctx.profile.for_size("cleanout-size-on-stack", leg.size).filter(|_| stands);
        Some((on_stack.or_else(|| ctx.profile.for_size("cleanout-size", leg.size))?, leg.size))
    }

    fn is_too_small(&self, ctx: &Ctx<'_>) -> bool {
        self.least(ctx).is_some_and(|(least, _)| {
            !Limit::AtLeast(least.value).allows(self.size(ctx).nominal().to_inches())
        })
    }
}

/// The port of a fitting that a plug is in.
fn plug(part: &Part) -> Option<usize> {
    let PartKind::Fitting { pattern, plugs } = &part.kind else { return None };
    let threaded = || pattern.ports.iter().position(|p| p.end == PortEnd::Thread);
    match pattern.family {
        Family::CleanoutTee => threaded().or_else(|| plugs.first().copied()),
        _ => plugs.first().copied(),
    }
}

/// Whether the job says that there is one at a fitting, or on a run.
pub fn is_listed(ctx: &Ctx<'_>, name: &Label) -> bool {
    ctx.job.provided.iter().any(|p| matches!(p, Provided::Cleanout { at } if at == name))
}

/// Whether a drain can be rodded through a fixture: a closet is lifted, a trap hung outside the wall is taken off.
pub fn lets_in(fixture: &Fixture) -> bool {
    fixture.kind == FixtureKind::Closet || fixture.kind.through_wall()
}
