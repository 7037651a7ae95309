//! A 1/4 bend whose heel or side inlet takes what it may not.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::{Passage, fixtures_through, passages_of};
use crate::rule::rule;
use crate::source::Source;
use truefall_model::catalog::family::Family;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::Part;

rule! {
    /// # What it checks
    ///
    /// A 1/4 bend with a heel inlet serves no closet. An inlet that takes a dry vent while the bend carries waste looks up. Where
    /// the code says nothing of such bends, one that carries waste is a question.
    ///
    /// # Why
    ///
    /// What a closet sends through the bend shoots past the heel and fills it, and a vent that lies there fills with waste.
    ///
    /// # Source
    ///
    /// The code's sections on heel- and side-inlet bends, cell by cell. A code without them leaves it to the official.
    ///
    /// # Limits
    ///
    /// What drains through the bend is told from the fixtures of the job. That a low heel is not used as a wet vent is not
    /// looked at. The heel inlet of the catalog is in line with the end towards the base; the size of the inlet against that of
    /// the bend is the catalog's.
    ///
    /// # Example
    ///
    /// The bend below a closet has a 2 in heel inlet for the tub: tagged. With a side inlet it passes.
    "inlet-bend-misused", Fittings, Code,
    "a bend's heel or side inlet takes what it may not",
    figures: [],
    finds: ["heel-inlet-closets", "inlet-vent-within"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for part in ctx.rough_in.parts.iter().filter(|part| ctx.is_wet(part.id)) {
        let Some(family) = part.pattern().map(|p| p.family).filter(|f| f.is_inlet_bend()) else { continue };
        let passages = passages_of(ctx, part.id);
        let Some(inlet) = part.ports().iter().position(|p| matches!(p.name.as_str(), "heel" | "side")) else {
            continue;
        };
        let closets =
            (family == Family::HeelInletBend).then(|| closets(ctx, part, inlet, &passages)).flatten();
        out.extend(closets.or_else(|| vent(ctx, part, inlet)).or_else(|| unsaid(ctx, part)));
    }
}

fn name(part: &Part) -> String {
    format!("{} ({})", part.label, part.pattern().map_or("", |p| p.name.as_str()))
}

fn finding(ctx: &Ctx<'_>, part: &Part, verdict: Verdict, what: String, source: Source) -> Finding {
    Finding::new(RULE.id, verdict, ctx.placement(), what, source)
        .on([&part.label, ctx.run_of(part.id)])
        .at(ctx.placed.origin(part.id))
}

fn closets(ctx: &Ctx<'_>, part: &Part, inlet: usize, passages: &[Passage]) -> Option<Finding> {
    let figure = ctx.profile.find("heel-inlet-closets")?;
    let through = passages.iter().filter(|p| p.enter != inlet).flat_map(|p| fixtures_through(ctx, p.from));
    let closet = through.into_iter().find(|f| ctx.job.fixtures[*f].kind == FixtureKind::Closet)?;
    let closet = ctx.fixture(closet);
    let limit = Limit::AtMost(figure.value);
    if limit.allows(1.0) {
        return None;
    }
    let what = format!("{} has a heel inlet and serves {closet}", name(part));
    Some(
        finding(ctx, part, Verdict::RedTag, what, figure.source())
            .on([closet])
            .measured(1.0, limit, "count")
            .help("use a side inlet, or bring the other drain in by a wye farther down"),
    )
}

/// An inlet that takes a dry vent.
fn vent(ctx: &Ctx<'_>, part: &Part, inlet: usize) -> Option<Finding> {
    let figure = ctx.profile.find("inlet-vent-within")?;
    let rough_in = ctx.rough_in;
    let joined = rough_in.joints.iter().find(|j| j.low == (part.id, inlet) && !j.closing)?;
    if ctx.is_wet(joined.high.0) {
        return None;
    }
    let off = ctx.placed.axis(rough_in, part.id, inlet).angle(&nalgebra::Vector3::z()).to_degrees();
    let limit = Limit::AtMost(figure.value);
    let verdict = ctx.verdict(limit.margin(off), 0.0)?;
    let what = format!(
        "the inlet of {} takes a dry vent and looks {off:.1} degrees off straight up, at most {}",
        name(part),
        figure.value
    );
    Some(
        finding(ctx, part, verdict, what, figure.source())
            .measured(off, limit, "deg")
            .help("turn the bend so that its inlet looks up, or take the vent off by a wye"),
    )
}

/// The code says nothing of such bends.
fn unsaid(ctx: &Ctx<'_>, part: &Part) -> Option<Finding> {
    let says = ctx.profile.find("heel-inlet-closets").is_some();
    (!says).then(|| {
        let code = format!("{} {}", ctx.profile.code(), ctx.profile.edition());
        let what = format!("{} carries waste: {code} says nothing of inlets in bends", name(part));
        let reason = "where a code is silent the official decides";
        finding(ctx, part, Verdict::Ask, what, Source::house(reason))
            .help("ask, or bring the drain in by a wye")
    })
}
