//! Cleanouts: where a drain can be rodded, as its fittings and the job say.

use crate::ctx::Ctx;
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
    /// All of them, by part: plugged ports of drains, cleanout tees, and fittings the job says have one.
    pub fn each(ctx: &Ctx<'_>) -> Vec<Self> {
        let of = |part: &Part| {
            let port = plug(part);
            (port.is_some() || is_listed(ctx, &part.label)).then_some(Self { part: part.id, port })
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
