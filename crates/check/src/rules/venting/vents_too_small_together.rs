//! Vents that together are smaller than the building drain.

use super::lines::{Required, names, openings};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::place::PartId;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// Where the code asks it, all vents through the roof together are as large, by the area of their bores, as the building drain
    /// that the job's fixtures require.
    ///
    /// # Why
    ///
    /// What the drain pushes ahead of it and draws after it has to come and go somewhere.
    ///
    /// # Source
    ///
    /// The code's section on the size of vents. The IRC and the IPC have none; see `main-vent-too-small`.
    ///
    /// # Limits
    ///
    /// Areas are those of the nominal sizes. It sees the vents of the job: those the house has already count too, so it asks. The
    /// drain is the smallest that may carry all of the job's fixtures at 1/4 in per ft. A job without a vent through the roof is
    /// `vent-not-open-to-air`'s. A vent counts with its smallest pipe.
    ///
    /// # Example
    ///
    /// A bath by the UPC: its drain is 3 in; one 2 in vent has 4/9 of that.
    "vents-too-small-together", Venting, Code,
    "all vents together are smaller than the building drain",
    figures: ["building-drain-load-1/4", "dfu", "drain-min"],
    finds: ["vent-area-of-drain"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let Some(figure) = ctx.profile.find("vent-area-of-drain") else { return };
    let vents: Vec<(PartId, NominalSize)> = openings(ctx);
    let Some(Required { size, units, fixtures }) = Required::of(ctx).filter(|_| !vents.is_empty()) else {
        return;
    };
    let square = |size: &NominalSize| size.nominal().to_inches().powi(2);
    let (sum, drain) = (vents.iter().map(|v| square(&v.1)).sum::<f64>(), square(&size));
    let share = sum / drain;
    let limit = Limit::AtLeast(figure.value);
    let Some(verdict) = ctx.verdict(limit.margin(share), 0.0) else { return };
    let verdict = if verdict == Verdict::Pass { verdict } else { Verdict::Ask };
    let what = format!(
        "the vents through the roof together have {share:.2} of the area of the {size} in drain the job requires, at least {}",
        figure.value
    );
    out.push(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on(vents.iter().map(|v| ctx.label(v.0)))
            .at(ctx.placed.origin(vents[0].0))
            .measured(share, limit, "share")
            .line(format!("{} bring {units} units: {size} in drain", names(ctx, &fixtures)))
            .lines(
                vents
                    .iter()
                    .map(|(part, size)| format!("{}: {size} x {size} = {}", ctx.label(*part), square(size))),
            )
            .line(format!("{sum} / {size} x {size} = {share:.3}"))
            .help("count the vents the house has already, or run one vent larger"),
    );
}
