//! A vent longer than its size lets it be.

use super::lines::names;
use super::vent_too_small::least;
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::thousandths;
use crate::rule::rule;
use crate::vent::{Method, Served, Span, fixture_units};
use truefall_model::units::{Length, NominalSize};

rule! {
    /// # What it checks
    ///
    /// A dry vent, along its centre line from the fitting it leaves to its end, is no longer than the code allows for its
    /// size: past a length one size larger; or by a table of sizes; or, for the vent of a stack, by a table of stacks and
    /// their fixture units. Where a code limits the share that lies level, that too.
    ///
    /// # Why
    ///
    /// Air rubs on the pipe's wall; a long vent lets in less.
    ///
    /// # Source
    ///
    /// The code's sections and tables on the length of vents.
    ///
    /// # Limits
    ///
    /// Length is that of the straight lines from centre to centre of the fittings. Where vents have joined, each is
    /// measured by itself to the open air. Of a table of stacks the row is that of the size below the vent; a stack of a
    /// size that is not in it, or vent pipe that its row leaves out, is not held to it.
    ///
    /// # Example
    ///
    /// A lavatory's 1-1/4 in vent of 43 ft: over 40 ft it is 1-1/2 in.
    "vent-too-long", Venting, Code,
    "a vent is too long for its size",
    figures: [],
    finds: ["vent-long", "stack-vent-length", "vent-max-length", "vent-level-share"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for served in ctx.vents.served() {
        let (_, size) = served.way.smallest(ctx.rough_in);
        let length = served.way.length(ctx.rough_in, ctx.placed);
        let held = [
            by_table(ctx, &served, size, length),
            level_share(ctx, &served, size),
            one_size_up(ctx, &served, size, length),
        ];
        // What is wrong goes before what passes; of either the first of the list.
        out.extend(held.into_iter().flatten().min_by_key(|f| f.verdict));
    }
}

/// The table that holds for a vent: of sizes alone, or of stacks.
fn by_table(ctx: &Ctx<'_>, served: &Served<'_>, size: NominalSize, length: Length) -> Option<Finding> {
    let most = ctx.profile.for_size("vent-max-length", size).or_else(|| stack_row(ctx, served, size))?;
    let limit = Limit::AtMost(most.value);
    let verdict = ctx.verdict(limit.margin(length.to_inches()), 0.0)?;
    let what = format!(
        "the {size} in vent of {} is {length} long, at most {}",
        names(ctx, &served.fixtures),
        most.length()
    );
    Some(
        told(ctx, served, verdict, what, most)
            .measured(length.to_inches(), limit, "in")
            .help("run it one size larger over its whole length"),
    )
}

/// The row for the vent of a stack: its size below the vent, and the least number of units that covers what it carries.
fn stack_row<'c>(ctx: &Ctx<'c>, served: &Served<'_>, size: NominalSize) -> Option<&'c Figure> {
    let method = served.trap.vent.as_ref()?.method;
    if matches!(method, Method::Individual | Method::Common | Method::Island | Method::Combination) {
        return None;
    }
    let fitting = served.way.from;
    let joint = ctx.rough_in.network.down[fitting.0 as usize]?;
    let (part, port) = ctx.rough_in.joint(joint).high;
    let stack = ctx.rough_in.part(part).ports()[port].size;
    let carries = ctx.vents.air.waste_of(fitting);
    let units: f64 = carries.iter().filter_map(|f| fixture_units(ctx.profile, &ctx.job.fixtures[*f])).sum();
    let rows = ctx.profile.figures().iter().filter_map(|f| {
        let rest = f.key.strip_prefix("stack-vent-length.")?.strip_prefix(&format!("{stack}."))?;
        let (dfu, vent) = rest.split_once('.')?;
        (vent == size.to_string()).then_some((dfu.parse::<u32>().ok()?, f))
    });
    rows.filter(|(dfu, _)| f64::from(*dfu) >= units).min_by_key(|(dfu, _)| *dfu).map(|(_, f)| f)
}

fn level_share(ctx: &Ctx<'_>, served: &Served<'_>, size: NominalSize) -> Option<Finding> {
    let share = ctx.profile.find("vent-level-share")?;
    let whole = ctx.profile.for_size("vent-max-length", size)?;
    let (least, _, _) = least(ctx, &served.fixtures)?;
    let enough = NominalSize::ALL.into_iter().find(|s| s.nominal().to_inches() >= least)?;
    if size > enough {
        return None;
    }
    let spans = served.way.spans(ctx.rough_in, ctx.placed);
    let level: Length = spans.iter().filter(|s| s.degrees().abs() < 45.0).map(Span::length).sum();
    let limit = Limit::AtMost(whole.value * share.value);
    let verdict = ctx.verdict(limit.margin(level.to_inches()), 0.0)?;
    let what = format!(
        "the {size} in vent of {} lies level over {level}, at most {}",
        names(ctx, &served.fixtures),
        whole.length() * share.value
    );
    Some(
        told(ctx, served, verdict, what, share)
            .measured(level.to_inches(), limit, "in")
            .line(format!(
                "a third of the {} in that {size} in may have: {}",
                whole.value,
                thousandths(whole.value * share.value)
            ))
            .help("run it one size larger over its whole length"),
    )
}

/// Past a length one size larger than its drain asks.
fn one_size_up(ctx: &Ctx<'_>, served: &Served<'_>, size: NominalSize, length: Length) -> Option<Finding> {
    let long = ctx.profile.find("vent-long")?;
    // A stack's own vent that the table of stacks has allowed is not sized by halves.
    if stack_row(ctx, served, size).is_some() {
        return None;
    }
    let most = Limit::AtMost(long.value);
    if most.allows(length.to_inches()) {
        let what = || {
            let names = names(ctx, &served.fixtures);
            format!(
                "the {size} in vent of {names} is {length} long, from {} on it is a size larger",
                long.length()
            )
        };
        let pass =
            |what| told(ctx, served, Verdict::Pass, what, long).measured(length.to_inches(), most, "in");
        return ctx.passes.then(|| pass(what()));
    }
    let (least, _, line) = least(ctx, &served.fixtures)?;
    let sizes = NominalSize::ALL;
    let enough = sizes.iter().position(|s| s.nominal().to_inches() >= least)?;
    let larger = *sizes.get(enough + 1)?;
    let limit = Limit::AtLeast(larger.nominal().to_inches());
    // Smaller than even a short one may be: `vent-too-small` tells it.
    if size < sizes[enough] || limit.allows(size.nominal().to_inches()) {
        return None;
    }
    let what = format!(
        "the {size} in vent of {} is {length} long; past {} it is at least {larger} in",
        names(ctx, &served.fixtures),
        long.length()
    );
    Some(
        told(ctx, served, Verdict::RedTag, what, long)
            .measured(length.to_inches(), Limit::AtMost(long.value), "in")
            .line(line)
            .help(format!("run it in {larger} in over its whole length")),
    )
}

fn told(ctx: &Ctx<'_>, served: &Served<'_>, verdict: Verdict, what: String, figure: &Figure) -> Finding {
    let spans = served.way.spans(ctx.rough_in, ctx.placed);
    let lines =
        spans.iter().map(|s| format!("to {}: {}", ctx.label(s.to), thousandths(s.length().to_inches())));
    Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on(served.fixtures.iter().map(|f| ctx.fixture(*f)).chain([ctx.label(served.way.from)]))
        .at(ctx.placed.origin(served.way.from))
        .lines(lines)
}
