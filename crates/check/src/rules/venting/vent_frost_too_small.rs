//! A vent that frost closes.

use super::lines::names;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::AirEnd;

rule! {
    /// # What it checks
    ///
    /// Where the winter design temperature is so low that frost closes vents, the pipe through the roof is as large as the
    /// code asks.
    ///
    /// # Why
    ///
    /// The damp air of the drain freezes on the cold pipe from its wall inward and shuts a small one.
    ///
    /// # Source
    ///
    /// The code's section on frost closure.
    ///
    /// # Limits
    ///
    /// Only the size of the last pipe is looked at, not how far inside the roof it gets larger. Without a design temperature
    /// in the job a pipe that would be too small is told as not checked.
    ///
    /// # Example
    ///
    /// A 2 in vent through the roof where the design temperature is -5 F: 3 in are needed.
    "vent-frost-too-small", Venting, Code,
    "a vent through the roof is too small where frost closes vents",
    figures: ["vent-frost-size", "vent-frost-from"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let (size, from) = (ctx.profile.figure("vent-frost-size"), ctx.profile.figure("vent-frost-from"));
    for (part, fixtures) in ctx.vents.ends(AirEnd::Roof) {
        let own = ctx.rough_in.part(part).size();
        let limit = Limit::AtLeast(size.value);
        let is_enough = limit.allows(own.nominal().to_inches());
        if is_enough && !ctx.passes {
            continue;
        }
        let names = names(ctx, &fixtures);
        let finding = |verdict, what: String| {
            Finding::new(RULE.id, verdict, ctx.placement(), what, size.source())
                .on([ctx.label(part), ctx.run_of(part)])
                .at(ctx.placed.origin(part))
        };
        match ctx.job.house.design_temperature_f {
            _ if is_enough => out.push(
                finding(
                    Verdict::Pass,
                    format!("the vent of {names} is {own} in at the roof, frost wants {}", size.length()),
                )
                .measured(own.nominal().to_inches(), limit, "in"),
            ),
            None => out.push(
                finding(
                    Verdict::NotChecked,
                    format!(
                        "the vent of {names} is {own} in at the roof; whether frost closes it is not known"
                    ),
                )
                .help("give the house's winter design temperature"),
            ),
            Some(cold) if cold <= from.value => out.push(
                finding(
                    Verdict::RedTag,
                    format!(
                        "the vent of {names} is {own} in at the roof, at least {} against frost",
                        size.length()
                    ),
                )
                .measured(own.nominal().to_inches(), limit, "in")
                .line(format!(
                    "design temperature {cold} F; frost is reckoned with at {} F and below",
                    from.value
                ))
                .help(format!("make it {} in from 1 ft inside the roof", size.value)),
            ),
            Some(cold) if ctx.passes => out.push(
                finding(
                    Verdict::Pass,
                    format!(
                        "the vent of {names} is {own} in at the roof; at {cold} F frost does not close it"
                    ),
                )
                .measured(cold, Limit::AtLeast(from.value), from.unit),
            ),
            Some(_) => {}
        }
    }
}
