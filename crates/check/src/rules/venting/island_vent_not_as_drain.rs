//! An island's vent below the rim that isn't put together as a drain.

use super::lines::{loops, rim_line};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::{Rim, Span, Trap, Way};
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::units::Grade;

rule! {
    /// # What it checks
    ///
    /// The part of an island's vent that lies below the sink's rim is put together as a drain is: of drainage patterns, no sanitary
    /// tee on its back or side, and its lying pipe, once the loop has come down, falls back to the foot at the least grade of a
    /// drain of its size.
    ///
    /// # Why
    ///
    /// Waste gets in there when the drain is slow, and has to get out again.
    ///
    /// # Source
    ///
    /// The code's sections on island vents, which send that part to the chapter on drains, and its table of grades.
    ///
    /// # Limits
    ///
    /// The loop itself, up to where it has come down, is looked at for its fittings alone. How the sink's own drain is put
    /// together is for the other rules. Which way round a wye is rolled is not looked at, nor the pipe from the foot down into the drain:
    /// see `island-foot-not-drained`.
    ///
    /// # Example
    ///
    /// The foot vent lies level under the floor on its way to the wall: 1/4 in per ft back to the foot is needed.
    "island-vent-not-as-drain", Venting, Code,
    "an island's vent below the rim is not put together as a drain",
    figures: ["island-as-drain", "grade-min", "vertical-within"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for (trap, way, spans) in loops(ctx) {
        let Some(rim) = ctx.rim(trap.fixture) else { continue };
        patterns(ctx, trap, way, rim, out);
        out.extend(flattest(ctx, trap, &spans, rim));
    }
}

/// Vent patterns and tees that lie, below the rim.
fn patterns(ctx: &Ctx<'_>, trap: &Trap, way: &Way, rim: Rim, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("island-as-drain");
    let within = ctx.profile.figure("vertical-within").value;
    for part in way.parts.iter().map(|p| p.0).filter(|p| ctx.placed.origin(*p).z < rim.z) {
        let Some(pattern) = ctx.rough_in.part(part).pattern() else { continue };
        let is_tee = matches!(pattern.family, Family::SanitaryTee | Family::StreetSanitaryTee);
        let run = ctx.placed.axis(ctx.rough_in, part, pattern.enter);
        let lies = run.angle(&Vector3::z()).to_degrees();
        let lies = lies > within && lies < 180.0 - within;
        let may_stay = !pattern.dry_only && (!is_tee || !lies);
        if may_stay {
            continue;
        }
        let (name, label) = (ctx.fixture(trap.fixture), ctx.label(part));
        let how = if pattern.dry_only { "is made for dry vents only" } else { "lies on its back or side" };
        let what = format!("{label} ({}) of the vent of {name} is below the rim and {how}", pattern.name);
        out.push(
            Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, figure.source())
                .on([name, label])
                .at(ctx.placed.origin(part))
                .line(rim_line(ctx, trap.fixture, rim))
                .line(format!("{label} is at {:.3} in", ctx.placed.origin(part).z))
                .help("put a wye, a combination or a drainage bend there"),
        );
    }
}

/// The flattest of the lying lengths between the loop's lowest point and the rim.
fn flattest(ctx: &Ctx<'_>, trap: &Trap, spans: &[Span], rim: Rim) -> Option<Finding> {
    let down = spans.iter().position(|s| s.high.z < s.low.z - 0.5)?;
    let lowest = (down..spans.len()).min_by(|a, b| spans[*a].high.z.total_cmp(&spans[*b].high.z))?;
    let within = ctx.profile.figure("vertical-within").value;
    let lying =
        spans[lowest + 1..].iter().filter(|s| s.low.z < rim.z && s.degrees().abs() < 90.0 - within - 1e-6);
    let judged = lying.filter_map(|span| {
        let size = ctx.rough_in.part(span.to).size();
        let figure = ctx.profile.for_size("grade-min", size)?;
        let grade = (span.high.z - span.low.z) / span.level().to_inches() * 12.0;
        Some((Limit::AtLeast(figure.value).margin(grade), span, figure, grade, size))
    });
    let (margin, span, figure, grade, size) = judged.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let verdict = ctx.verdict(margin, 0.0)?;
    let name = ctx.fixture(trap.fixture);
    let (falls, least) = (Grade::per_foot(grade), figure.grade());
    let what = format!(
        "the vent of {name} falls {falls} back from {} below the rim, {size} in drain needs at least {least}",
        ctx.label(span.to)
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([name, ctx.label(span.to)])
            .at(nalgebra::center(&span.low, &span.high))
            .measured(grade, Limit::AtLeast(figure.value), "in/ft")
            .line(rim_line(ctx, trap.fixture, rim))
            .line(format!(
                "up {:.3} in over {:.3} in of level run: {grade:.3} in per ft",
                span.high.z - span.low.z,
                span.level().to_inches()
            ))
            .help(format!("give it {least} back to its foot")),
    )
}
