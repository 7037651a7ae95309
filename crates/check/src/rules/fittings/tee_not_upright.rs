//! A sanitary tee that carries waste on its back or upside down.

use crate::ctx::Ctx;
use crate::cure::fit::swaps;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::units::Angle;

rule! {
    /// # What it checks
    ///
    /// A sanitary tee or double sanitary tee that carries waste stands with its run within 45 degrees of plumb and its
    /// sweep looking down.
    ///
    /// # Why
    ///
    /// Its branch sweeps into one end of the run. On its back the waste meets a square corner and is thrown both ways;
    /// upside down it is thrown up the stack.
    ///
    /// # Source
    ///
    /// The code's table of fittings for changes of direction: a sanitary tee turns level waste down, and nothing else.
    ///
    /// # Limits
    ///
    /// A tee that carries air only is not looked at: upside down is right for tying a dry vent back in, and on its back it
    /// is accepted by many as a dry vent's take-off. Whether a double tee may take the fixtures it does is not looked at.
    ///
    /// # Example
    ///
    /// A 3 in drain across the joists takes a tub by a sanitary tee laid on its back: tagged; a wye with a 1/8 bend, or a
    /// combination, belongs there.
    "tee-not-upright", Fittings, Code,
    "a sanitary tee in a drain is not upright",
    figures: ["vertical-within"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("vertical-within");
    for part in ctx.rough_in.parts.iter().filter(|part| ctx.is_wet(part.id)) {
        let Some(pattern) = part.pattern() else { continue };
        let stands = [
            Family::SanitaryTee,
            Family::StreetSanitaryTee,
            Family::DoubleSanitaryTee,
            Family::DoubleFixtureFitting,
        ]
        .contains(&pattern.family);
        if !stands {
            continue;
        }
        // The pattern's usual way in looks down its sweep, whichever way the job puts it on.
        let sweep = ctx.placed.axis(ctx.rough_in, part.id, pattern.enter);
        let off = Angle::radians(sweep.angle(&-Vector3::z()));
        let limit = Limit::AtMost(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(off.to_degrees()), 0.0) else { continue };
        let how = if verdict == Verdict::Pass {
            "upright"
        } else if off.to_degrees() > 180.0 - figure.value {
            "upside down"
        } else {
            "on its side or back"
        };
        let what = format!(
            "{} ({}) carries waste {how}: its sweep looks {off} off straight down, at most {}",
            part.label,
            pattern.name,
            figure.angle()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([&part.label])
                .at(ctx.placed.origin(part.id))
                .measured(off.to_degrees(), limit, "deg")
                .line(format!("its sweep looks toward ({:.3}, {:.3}, {:.3})", sweep.x, sweep.y, sweep.z))
                .line(format!("{off} off straight down, at most {}", figure.angle()))
                .help("use a wye with a 1/8 bend or a combination here, or stand the tee up with its sweep down")
                .cure(swaps(ctx, part.id, &[Family::Combination, Family::Wye])),
        );
    }
}
