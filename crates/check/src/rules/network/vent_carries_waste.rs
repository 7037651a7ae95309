//! A run said to be a vent that waste passes through.

use crate::ctx::Ctx;
use crate::drain::carried;
use crate::finding::{Finding, Verdict};
use crate::load::names;
use crate::rule::rule;
use truefall_model::job::pipes::System;

rule! {
    /// # What it checks
    ///
    /// No fixture drains through a run that the job says is a vent.
    ///
    /// # Why
    ///
    /// A dry vent that carries waste closes with what settles in it, and the traps that breathe through it are no longer vented.
    ///
    /// # Source
    ///
    /// Our own rule: a pipe is what it carries. Where a code lets one pipe be drain and vent at once, it is a drain first.
    ///
    /// # Limits
    ///
    /// It looks at what the job says a run is. A run that says nothing is a drain where waste passes; whether that waste leaves it a
    /// vent for others is for the rules of venting. One finding a run.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A lavatory is put on the branch that is said to vent the tub: tagged.
    "vent-carries-waste", Network,
    House("a dry vent carries no fixture"),
    "a fixture drains through what is said to be a vent",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let carried = carried(ctx);
    for run in ctx.rough_in.runs.iter().filter(|run| run.system == Some(System::Vent)) {
        let parts = run.fits.iter().flat_map(|(piece, fit)| piece.iter().chain([fit])).chain(&run.last_piece);
        // What comes in anywhere passes the part nearest the base that it reaches; the fullest part has it all.
        let Some(part) = parts.copied().rev().max_by_key(|p| carried[p.0 as usize].len()) else { continue };
        let fixtures = &carried[part.0 as usize];
        if fixtures.is_empty() {
            continue;
        }
        let what =
            format!("{} is said to be a vent, yet {} drains through it", run.label, names(ctx, fixtures));
        let labels = [&run.label].into_iter().chain(fixtures.iter().map(|f| &ctx.job.fixtures[*f].name));
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
                .on(labels)
                .at(ctx.placed.origin(part))
                .line(format!("at {} pass {}", ctx.label(part), names(ctx, fixtures)))
                .help("drain it elsewhere, or say that the run is a drain and vent the traps by another way"),
        );
    }
}
