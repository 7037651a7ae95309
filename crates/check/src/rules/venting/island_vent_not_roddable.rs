//! An island's vent without a cleanout.

use super::lines::loops;
use crate::cleanout::is_listed;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::place::{PartId, PartKind};

rule! {
    /// # What it checks
    ///
    /// The part of an island's vent that lies below the sink's rim has a cleanout.
    ///
    /// # Why
    ///
    /// It lies where waste gets into it, and nothing washes it out.
    ///
    /// # Source
    ///
    /// The code's section on island vents.
    ///
    /// # Limits
    ///
    /// Cleanout tees, plugged ports and what the job lists under `provided` on the vent's fittings and runs are counted, below the
    /// rim. That the vent can be rodded both ways from it is not looked at.
    ///
    /// # Example
    ///
    /// A loop and its foot vent of plain bends and wyes, nothing listed: red.
    "island-vent-not-roddable", Venting, Code,
    "an island's vent has no cleanout",
    figures: ["island-cleanouts"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("island-cleanouts");
    for (trap, way, _) in loops(ctx) {
        let Some(rim) = ctx.rim(trap.fixture) else { continue };
        let below: Vec<PartId> =
            way.parts.iter().map(|p| p.0).filter(|p| ctx.placed.origin(*p).z < rim.z).collect();
        let count = below.iter().filter(|p| has_cleanout(ctx, **p)).count() as f64;
        let limit = Limit::AtLeast(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(count), 0.0) else { continue };
        let name = ctx.fixture(trap.fixture);
        let Some(last) = below.last() else { continue };
        let what =
            format!("the vent of {name} has {count} cleanouts below the rim, at least {}", figure.value);
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.run_of(*last)])
                .at(ctx.placed.origin(*last))
                .measured(count, limit, "count")
                .help(
                    "put a cleanout into the foot vent where one can get at it, and list it under `provided`",
                ),
        );
    }
}

fn has_cleanout(ctx: &Ctx<'_>, part: PartId) -> bool {
    let own = ctx.rough_in.part(part);
    let by_fitting = match &own.kind {
        PartKind::Fitting { pattern, plugs } => pattern.family == Family::CleanoutTee || !plugs.is_empty(),
        _ => false,
    };
    let is_fitting = matches!(own.kind, PartKind::Fitting { .. });
    by_fitting || is_fitting && (is_listed(ctx, &own.label) || is_listed(ctx, ctx.run_of(part)))
}
