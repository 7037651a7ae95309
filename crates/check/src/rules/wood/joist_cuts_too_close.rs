//! Two cuts in a joist with too little wood between them.

use crate::bore::telling::{Told, decimal, is_solid_joist};
use crate::bore::{Bore, Shape};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    /// The wood left between a hole in a joist, rafter, beam or header and any other hole or notch in it.
    ///
    /// # Why
    /// Each limit takes the wood around the hole as whole.
    ///
    /// # Source
    /// IRC R502.8.1: 2 in.
    ///
    /// # Limits
    /// Measured between round edges at mid-thickness. Only cuts that the job's own pipes make are known. Two notches are
    /// not held against each other.
    ///
    /// # Example
    /// Drain and vent cross a joist side by side with 1 in between their holes.
    "joist-cuts-too-close", Wood, Code,
    "too little wood is left between two cuts in a joist",
    figures: ["joist-edge"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("joist-edge");
    let limit = Limit::AtLeast(figure.value);
    let all = Told::each(ctx, is_solid_joist);
    for (i, one) in all.iter().enumerate() {
        for other in all[i + 1..].iter().filter(|t| t.bore.member == one.bore.member) {
            let notches = [one, other].iter().filter(|t| t.bore.cut.shape != Shape::Hole).count();
            let between = between(one.bore, other.bore);
            if notches == 2 {
                continue;
            }
            let Some(verdict) = ctx.verdict(limit.margin(between.to_inches()), 0.0) else { continue };
            let what = format!(
                "holes for {} of {} and {} of {} leave {} between them in {}, need {}",
                one.passes(),
                one.run(),
                other.passes(),
                other.run(),
                decimal(between),
                one.member.label,
                figure.length()
            );
            out.push(
                one.finding(RULE.id, verdict, what, figure.source())
                    .on([other.run(), ctx.label(other.bore.part)])
                    .measured(between.to_inches(), limit, "in")
                    .line(format!("other hole {}", other.bore.drilled.hole))
                    .line(format!("wood between them {}", decimal(between)))
                    .help(format!("move them apart by {}", decimal(figure.length() - between))),
            );
        }
    }
}

/// Wood between the edges of two holes of one member.
fn between(one: &Bore, other: &Bore) -> Length {
    let apart = (one.along - other.along).to_inches().hypot((one.across - other.across).to_inches());
    Length::inches(apart) - (one.drilled.hole + other.drilled.hole) / 2.0
}
