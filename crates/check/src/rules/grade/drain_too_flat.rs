//! A drain that falls less than the code's minimum for its size.

use crate::ctx::Ctx;
use crate::cure::plumb_at_base;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::family;
use crate::lean::{grade_error, grade_sum};
use crate::number::thousandths;
use crate::rule::rule;
use crate::source::Source;
use crate::stretch::{Stretch, graded_drains};
use truefall_model::catalog::family::Family;
use truefall_model::job::Placement;
use truefall_model::tolerance::SLACK;

rule! {
    /// # What it checks
    ///
    /// Every straight length of drain that is nearer to level than to plumb falls at least as much per foot as the code
    /// asks for its size, as drawn and as found. What is compared is the grade that the rigid parts make, not the grade
    /// that was aimed at.
    ///
    /// # Why
    ///
    /// Below that the water leaves the solids behind, and the line stops up.
    ///
    /// # Source
    ///
    /// The code's table of least slopes, by size.
    ///
    /// # Limits
    ///
    /// It knows the grade between fittings, not a sag between hangers. A result short of the limit by less than the
    /// error of the survey is a question. Dry vents have no least grade. A drain that falls backwards is told by
    /// `drain-falls-backwards` alone. Where the fall is missing only because one joint can't be set so far, and the joint into
    /// the bend below it can be set the rest, it is a question: try it dry. The fall of a short ell or tee within itself is not looked at.
    ///
    /// # Example
    ///
    /// A 1-1/2 in tub drain drawn at 1/4 in per ft heads the way the stack leans by 0.06 in per ft. Found, it falls
    /// 0.19 in per ft and is tagged.
    "drain-too-flat", Grade, Code,
    "a drain falls less than the code's minimum for its size",
    figures: ["grade-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for stretch in graded_drains(ctx).into_iter().filter(|s| s.grade.to_per_foot() >= -SLACK) {
        let leg = stretch.longest(ctx);
        let (name, (low, high)) = (ctx.legs_name(&stretch.legs), ctx.rough_in.leg_ends(ctx.placed, leg));
        let middle = nalgebra::center(&low, &high);
        let finding = |verdict, what, source| {
            Finding::new(RULE.id, verdict, ctx.placement(), what, source).on(ctx.leg_labels(leg)).at(middle)
        };
        let Some(figure) = ctx.profile.for_size("grade-min", stretch.size) else {
            let what = format!(
                "{name} was not held to a least grade: the profile has none for {} in pipe",
                stretch.size
            );
            let reason = format!(
                "{} {} has no least grade for this size here",
                ctx.profile.code(),
                ctx.profile.edition()
            );
            out.push(finding(Verdict::NotChecked, what, Source::house(&reason)));
            continue;
        };
        let (falls, least) = (stretch.grade.to_per_foot(), figure.value);
        let error = grade_error(ctx, leg).to_per_foot();
        let limit = Limit::AtLeast(least);
        let Some(verdict) = ctx.verdict(limit.margin(falls), error) else { continue };
        let shared = shared(ctx, &stretch, least).filter(|_| verdict != Verdict::Pass);
        let verdict = if shared.is_some() { Verdict::Ask } else { verdict };
        let what = match verdict {
            Verdict::Ask if shared.is_some() => format!(
                "{name} falls {} by one joint, needs at least {}: two joints may share it",
                stretch.grade,
                figure.grade()
            ),
            Verdict::Ask => format!(
                "{name} falls {} ± {error:.3}, needs at least {}: too near to tell",
                stretch.grade,
                figure.grade()
            ),
            _ => format!("{name} falls {}, needs at least {}", stretch.grade, figure.grade()),
        };
        let short = -limit.margin(falls);
        out.push(
            finding(verdict, what, figure.source())
                .measured(falls, limit, "in/ft")
                .known_to(error)
                .lines(grade_sum(ctx, leg))
                .line(format!(
                    "{} in pipe needs {}: {} - {least:.3} = {}",
                    stretch.size,
                    figure.grade(),
                    thousandths(falls),
                    thousandths(falls - least)
                ))
                .lines(shared.as_ref().map(|s| s.sum.clone()))
                .help(match verdict {
                    Verdict::Ask if shared.is_some() => shared.map_or_else(String::new, |s| s.help),
                    Verdict::Ask => {
                        "read the lean again with more heights, or give the drain a little more fall"
                            .to_owned()
                    }
                    _ if ctx.placement() == Placement::Drawn => format!("give it {short:.3} in per ft more"),
                    _ => {
                        format!("give it {short:.3} in per ft more, or take the lean out at a joint below it")
                    }
                })
                .cure(plumb_at_base(ctx, ctx.rough_in.leg(leg).run)),
        );
    }
}

/// A grade that a second joint gives.
struct Shared {
    sum: String,
    help: String,
}

/// Whether what a stretch lacks is within what the joint into the bend at its foot can be set to. A true 45 off a plumb pipe
/// and another make a level line: placement takes the fall from one joint, a plumber takes it from both.
fn shared(ctx: &Ctx<'_>, stretch: &Stretch, least: f64) -> Option<Shared> {
    let rough_in = ctx.rough_in;
    let leg = rough_in.leg(*stretch.legs.first()?);
    let out = rough_in.joint(leg.joint);
    let bend = leg.low;
    family(ctx, bend).and_then(Family::bend)?;
    let spent = out.wanted.to_radians().abs() > out.seat.to_radians() + SLACK;
    let aimed = leg.target.is_some_and(|target| Limit::AtLeast(least).allows(target.to_per_foot()));
    if !spent || !aimed {
        return None;
    }
    let into = rough_in.joint(rough_in.network.down[bend.0 as usize]?);
    let room = into.seat.to_degrees() - into.set.to_degrees().abs();
    let missing = ((least / 12.0).atan() - (stretch.grade.to_per_foot() / 12.0).atan()).to_degrees();
    let label = ctx.label(bend);
    Limit::AtMost(room).allows(missing).then(|| Shared {
        sum: format!("{missing:.2} degrees are missing; the joint into {label} can be set {room:.2} more"),
        help: format!(
            "try it dry: set the joint into {label} {missing:.2} degrees as well as the one after it, or use a combination"
        ),
    })
}
