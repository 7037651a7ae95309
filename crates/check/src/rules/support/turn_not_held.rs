//! A turn or a trap with nothing near it that carries it.

use crate::bore::telling::over;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::hung::{Span, any_listed, spans};
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::place::PartId;
use truefall_model::units::{Angle, Length};

rule! {
    /// # What it checks
    ///
    /// On every run that has hangers listed: each bend of 45 degrees or more in a level stretch or at its end, such as the bend
    /// under a closet, and each trap at the end of an arm has something near it that holds the pipe: a hanger, or a stud or
    /// joist it is bored through.
    ///
    /// # Why
    ///
    /// Water that turns pushes, and a trap full of it is the heaviest foot of an arm. What swings there works its joints loose.
    ///
    /// # Source
    ///
    /// Common practice, and one city's text: support at changes of direction, at closet bends, at traps and their arms. How near
    /// is not said there.
    ///
    /// # Limits
    ///
    /// It is a warning. It looks only at runs with hangers listed: of others `hanger-too-far` says what they need. The foot of a
    /// stack is `stack-base-not-held`'s. A closet's flange screwed to the floor holds its bend from above and is not counted.
    ///
    /// # Example
    ///
    /// A drain hung at its middle turns 30 in from that hanger: one more belongs at the turn.
    "turn-not-held", Support, Code,
    "nothing near a turn or trap holds the pipe",
    figures: ["turn-held"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if !any_listed(ctx) {
        return;
    }
    for span in spans(ctx).iter().filter(|span| span.level && span.listed && !span.hung) {
        for (part, at) in &span.fits {
            out.extend(judge(ctx, span, *part, *at));
        }
    }
}

fn judge(ctx: &Ctx<'_>, span: &Span, part: PartId, at: f64) -> Option<Finding> {
    // Where a branch starts the fitting belongs to the run it leaves.
    if ctx.rough_in.part(part).run != span.run {
        return None;
    }
    let family = ctx.rough_in.part(part).pattern()?.family;
    let turns = family.bend().is_some_and(|bend| bend >= Angle::degrees(45.0));
    if !turns && family != Family::PTrap {
        return None;
    }
    let figure = ctx.profile.figure("turn-held");
    let limit = Limit::AtMost(figure.value);
    let (name, run) = (ctx.label(part), &ctx.rough_in.run(span.run).label);
    let nearest = span.points.iter().map(|held| (held - at).abs()).min_by(f64::total_cmp);
    let verdict = match nearest {
        Some(off) if limit.allows(off) => ctx.passes.then_some(Verdict::Pass)?,
        _ => Verdict::Watch,
    };
    let what = match nearest {
        Some(off) => format!(
            "{name} of {run} is {} from what holds the pipe, at most {}",
            Length::inches(off),
            figure.length()
        ),
        None => format!("nothing holds {run} near {name}, at most {} off", figure.length()),
    };
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([name, run])
        .at(ctx.placed.origin(part))
        .help(format!("hang it within {} of {name}, {} along the run", figure.length(), Length::inches(at)));
    Some(match nearest {
        Some(off) => finding
            .measured(off, limit, "in")
            .line(format!("{name} is {at:.3} in along the run, what holds it {off:.3} in off"))
            .line(over(Length::inches(off - figure.value))),
        None => finding.line("between its ends nothing is listed and no wood is bored"),
    })
}
