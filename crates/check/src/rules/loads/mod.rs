//! What pipe has to carry, and the sizes that follow from it.

pub mod building_drain_overloaded;
pub mod closets_on_3_in;
pub mod drain_overloaded_branch;
pub mod drain_overloaded_stack;
pub mod drain_shrinks_downstream;
pub mod drain_too_small_for_fixture;
pub mod too_many_fixtures_on_small_drain;
pub mod trap_larger_than_drain;
pub mod trap_too_small;

use crate::ctx::Ctx;
use crate::drain::Drain;
use crate::finding::{Finding, Limit, Verdict};
use crate::load::{Load, names};
use crate::source::Source;
use truefall_model::label::Label;

/// A finding about one drain and the fixtures it carries: their names, where it is, the sum of its load.
fn told(
    ctx: &Ctx<'_>,
    rule: &'static str,
    verdict: Verdict,
    drain: &Drain,
    what: String,
    source: Source,
) -> Finding {
    let carried = drain.fixtures.iter().map(|f| &ctx.job.fixtures[*f].name);
    let labels: Vec<&Label> = ctx.leg_labels(drain.leg).into_iter().chain(carried).collect();
    let (low, high) = ctx.rough_in.leg_ends(ctx.placed, drain.leg);
    Finding::new(rule, verdict, ctx.placement(), what, source)
        .on(labels)
        .at(nalgebra::center(&low, &high))
        .line(format!("it carries {}", names(ctx, &drain.fixtures)))
}

/// A load against its limit, line by line.
fn against(ctx: &Ctx<'_>, finding: Finding, load: &Load<'_>, limit: f64, of: &str) -> Finding {
    finding.measured(load.units, Limit::AtMost(limit), "dfu").lines(load.lines(ctx)).line(
        match load.units > limit {
            true => format!("{} - {limit} = {} more than {of} may carry", load.units, load.units - limit),
            false => format!("{of} may carry {limit}: {} to spare", limit - load.units),
        },
    )
}
