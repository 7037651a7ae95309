//! A trap that holds too little water, or too much.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::catalog::pattern::{INLET, Pattern};
use truefall_model::place::PartId;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// The seal of a trap as it stands, plumb from its weir down to the top of the bore at its lowest, is within the code's
    /// limits.
    ///
    /// # Why
    ///
    /// A shallow seal is blown or dries out, a deep one holds back what should pass. A trap tipped over has none.
    ///
    /// # Source
    ///
    /// The code's least and greatest seal.
    ///
    /// # Limits
    ///
    /// The seal is the catalog's pattern, tipped as the trap stands; the trap in the box may differ by 1/8 in or so.
    /// For a trap tipped along its U the lowest point is taken to stay where it is, which is right for small angles. Traps
    /// hung at finish are not in the job.
    ///
    /// # Example
    ///
    /// A 2 in trap rolled over to pass a joist, 45 degrees off upright, holds 1-3/4 in of its 3-5/16: 2 are needed.
    "trap-seal-out-of-range", Traps, Code,
    "a trap's seal is too shallow or too deep",
    figures: ["trap-seal-min", "trap-seal-max"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (least, most) = (ctx.profile.figure("trap-seal-min"), ctx.profile.figure("trap-seal-max"));
    let limit = Limit::Between(least.value, most.value);
    for part in ctx.rough_in.parts.iter().filter(|part| ctx.is_wet(part.id)) {
        let Some(pattern) = part.pattern() else { continue };
        let Some((made, stands)) = seal(ctx, part.id, pattern) else { continue };
        let Some(verdict) = ctx.verdict(limit.margin(stands.to_inches()), 0.0) else { continue };
        let figure = if stands.to_inches() < least.value { least } else { most };
        let what = format!(
            "{} ({}) holds a seal of {} as it stands, allowed {} to {}",
            part.label,
            pattern.name,
            if stands > Length::ZERO { stands.to_string() } else { "nothing".to_owned() },
            least.length(),
            most.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([&part.label])
                .at(ctx.placed.origin(part.id))
                .measured(stands.to_inches(), limit, "in")
                .line(format!("upright the pattern holds {:.3} in", made.to_inches()))
                .line(format!(
                    "as it stands {:.3} - {:.3} = {:.3}",
                    made.to_inches(),
                    (made - stands).to_inches(),
                    stands.to_inches()
                ))
                .help("stand its riser plumb"),
        );
    }
}

/// The seal a trap is made with, and what is left of it as it stands.
fn seal(ctx: &Ctx<'_>, part: PartId, pattern: &Pattern) -> Option<(Length, Length)> {
    let (made, swing) = (pattern.seal()?, pattern.swing?);
    let pose = ctx.placed.world_from_part[part.0 as usize];
    let inlet = &pattern.ports[pattern.port(INLET).ok()?];
    // From the riser to the middle of the U, level when the riser is plumb.
    let to_inlet = inlet.stop - (swing.through - swing.about * swing.reach.to_inches());
    let (up, across) = ((pose * swing.about).z, (pose * to_inlet).z / 2.0);
    let lost = swing.drop.to_inches() * (1.0 - up) + across;
    Some((made, made - Length::inches(lost)))
}
