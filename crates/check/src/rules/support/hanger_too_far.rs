//! Pipe that hangs farther than its material may from one support to the next.

use crate::bore::telling::over;
use crate::ctx::Ctx;
use crate::cure::{Cure, provide, sixteenths};
use crate::finding::{Finding, Limit, Verdict};
use crate::hung::{Counted, Span, any_listed, spans};
use crate::rule::rule;
use truefall_model::framing::provided::Provided;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Along every level stretch and up every riser, how far it is from one point that holds the pipe to the next, against
    /// what the code allows for its material. A level stretch is held where it starts and ends, in every stud or joist it
    /// is bored through, and by the hangers the job lists; a riser at its foot, its top and by its clamps. Vents are held to
    /// the same.
    ///
    /// # Why
    ///
    /// Pipe that sags holds water in its belly and pulls its joints; full of water 3 in pipe weighs more than 4 lb a foot.
    ///
    /// # Source
    ///
    /// The code's table of hanger spacing by material, level and upright.
    ///
    /// # Limits
    ///
    /// Where the job lists no hanger at all, one finding says how many are needed and where, and nothing is tagged. That a
    /// bored stud or joist carries the pipe is common practice. What carries the ends of a stretch is not looked into;
    /// turns, traps and closet bends are `turn-not-held`'s. A hanger listed for a whole run
    /// without a place is taken as hung all along as the code asks.
    ///
    /// # Example
    ///
    /// A 3 in drain under the joists is 7 ft from the stack to the flange with no hanger between: PVC may hang 4 ft, so it
    /// needs one at the middle.
    "hanger-too-far", Support, Code,
    "pipe hangs farther than its material may from one support to the next",
    figures: ["hanger-level", "hanger-plumb"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let all = spans(ctx);
    if ctx.passes {
        out.extend(all.iter().filter_map(|span| near_enough(ctx, span)));
    }
    let far: Vec<Far<'_>> = all.into_iter().filter_map(|span| too_far(ctx, span)).collect();
    if any_listed(ctx) {
        out.extend(far.iter().map(|far| tagged(ctx, far)));
    } else {
        out.extend(none_listed(ctx, &far));
    }
}

/// A span with a gap wider than its spacing.
struct Far<'a> {
    span: Span,
    figure: &'a crate::code::Figure,
    /// Where hangers are wanted.
    wanted: Vec<f64>,
}

fn too_far<'a>(ctx: &Ctx<'a>, span: Span) -> Option<Far<'a>> {
    let figure = span.spacing(ctx).filter(|_| !span.hung)?;
    let (from, to) = span.widest();
    Verdict::of(Limit::AtMost(figure.value).margin(to - from), 0.0)?;
    let wanted = span.wanted(figure.value);
    Some(Far { span, figure, wanted })
}

/// A span that passes.
fn near_enough(ctx: &Ctx<'_>, span: &Span) -> Option<Finding> {
    let figure = span.spacing(ctx).filter(|_| !span.hung)?;
    let (from, to) = span.widest();
    let passes = Limit::AtMost(figure.value).allows(to - from) && to > from;
    passes.then(|| gap(ctx, span, figure, Verdict::Pass))
}

fn tagged(ctx: &Ctx<'_>, far: &Far<'_>) -> Finding {
    let told = gap(ctx, &far.span, far.figure, Verdict::RedTag);
    told.help(format!("hang it {} {}", counted(&far.span), places(&far.wanted))).cure(hung(ctx, far))
}

/// The widest gap of a span against the spacing.
fn gap(ctx: &Ctx<'_>, span: &Span, figure: &crate::code::Figure, verdict: Verdict) -> Finding {
    let spacing = figure.value;
    let (from, to) = span.widest();
    let what = format!(
        "{} goes {} from one support to the next, at most {}",
        span.name(ctx),
        Length::inches(to - from),
        figure.length()
    );
    let run = ctx.rough_in.run(span.run);
    Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([&run.label])
        .on([ctx.label(span.ends.0)])
        .on(span.ends.1.map(|part| ctx.label(part)))
        .at(ctx.placed.origin(span.ends.0))
        .measured(to - from, Limit::AtMost(spacing), "in")
        .line(format!("held {} {}", counted(span), places(&span.held)))
        .line(format!("the widest gap is {to:.3} - {from:.3} = {:.3} in", to - from))
        .line(format!(
            "{:.3} in, at most {spacing:.3}: {}",
            to - from,
            over(Length::inches(to - from - spacing))
        ))
}

/// Hangers where they are wanted. Along a riser of a branch nothing is counted: there its fittings are held, and a piece that
/// is too long by itself at its middle.
fn hung(ctx: &Ctx<'_>, far: &Far<'_>) -> Option<Cure> {
    let run = ctx.rough_in.run(far.span.run);
    if !far.span.is_counted() {
        let mut items = Vec::new();
        for leg in ctx.rough_in.legs.iter().filter(|leg| leg.run == run.id) {
            let (low, high) = ctx.rough_in.leg_ends(ctx.placed, leg.id);
            let way = high - low;
            if (way.xy().norm() > way.z.abs()) == far.span.level {
                let on = |part| Provided::Hanger { on: ctx.label(part).clone(), at: None, to: None };
                items.extend(leg.high.filter(|part| Some(*part) != far.span.ends.1).map(on));
                items.extend(leg.piece.filter(|_| way.norm() > far.figure.value).map(on));
            }
        }
        return Some(provide(ctx, format!("clamp the fittings of {}'s riser", run.label), items));
    }
    let at = |at: &f64| Provided::Hanger { on: run.label.clone(), at: Some(sixteenths(*at)), to: None };
    let words = format!("hang {} {} {}", run.label, counted(&far.span), places(&far.wanted));
    Some(provide(ctx, words, far.wanted.iter().map(at)))
}

fn none_listed(ctx: &Ctx<'_>, far: &[Far<'_>]) -> Option<Finding> {
    let first = far.first()?;
    let number: usize = far.iter().map(|f| f.wanted.len()).sum();
    let hangers = if number == 1 { "one is" } else { &format!("{number} are") };
    let what = format!(
        "the job lists no hangers; {hangers} needed where neither wood nor another run holds the pipe"
    );
    let mut finding =
        Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, first.figure.source())
            .at(ctx.placed.origin(first.span.ends.0));
    let mut labels: Vec<_> = far.iter().map(|f| &ctx.rough_in.run(f.span.run).label).collect();
    labels.dedup();
    finding = finding.on(labels);
    for far in far {
        finding = finding.line(format!(
            "{}: {}, at most {} apart: {} {}",
            far.span.name(ctx),
            Length::inches(far.span.to - far.span.from),
            far.figure.length(),
            counted(&far.span),
            places(&far.wanted)
        ));
    }
    Some(
        finding
            .help("list them under `provided`, each with its place, and they are held to the code's spacing"),
    )
}

/// From where the places of a span are counted.
fn counted(span: &Span) -> &'static str {
    match (span.level, span.counted) {
        (true, _) => "along the run at",
        (false, Counted::Up) => "up from the base at",
        (false, Counted::Along) => "along the pipe from the base at",
        (false, Counted::Level) => "along the riser at",
    }
}

fn places(at: &[f64]) -> String {
    at.iter().map(|at| Length::inches(*at).to_string()).collect::<Vec<_>>().join(", ")
}
