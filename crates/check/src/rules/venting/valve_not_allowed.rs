//! An air admittance valve where the code has none, or the local official allows none.

use super::lines::names;
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use crate::vent::AirEnd;

rule! {
    /// # What it checks
    ///
    /// No vent ends in an air admittance valve where the code has no such thing, or where `valve-allowed` is amended to 0.
    ///
    /// # Why
    ///
    /// A valve lets air in and none out, has moving parts, and one code leaves it to the official as an alternative.
    ///
    /// # Source
    ///
    /// The code's chapter on these valves; where it has none, its rule that every vent goes to the open air.
    ///
    /// # Limits
    ///
    /// Where the code itself has none it asks rather than tags: an official may take a listed valve as an alternative. Whether one can get at the valve,
    /// and its listing, are not looked at. It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A sink's vent that ends in a valve, in a job held to the UPC.
    "valve-not-allowed", Venting, Code,
    "a vent ends in an air admittance valve, which the code or the official does not allow",
    figures: ["vents-to-open-air"],
    finds: ["valve-allowed"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.profile.has_valves() {
        return;
    }
    let barred = ctx.profile.find("valve-allowed");
    let figure = barred.unwrap_or_else(|| ctx.profile.figure("vents-to-open-air"));
    let (verdict, help) = match barred {
        Some(_) => (Verdict::RedTag, "take it through the roof or into another vent"),
        None => (
            Verdict::Ask,
            "take it through the roof, or ask whether a listed valve is taken as an alternative",
        ),
    };
    let none = match barred {
        Some(_) => "none are allowed here".to_owned(),
        None => format!("{} has none", ctx.profile.code()),
    };
    for (part, fixtures) in ctx.vents.ends(AirEnd::Valve) {
        let what = format!(
            "the vent of {} ends at {} in an air admittance valve; {none}",
            names(ctx, &fixtures),
            ctx.label(part)
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on(fixtures.iter().map(|f| ctx.fixture(*f)).chain([ctx.label(part)]))
                .at(ctx.placed.origin(part))
                .line("every vent goes to the open air, alone or with others")
                .help(help),
        );
    }
}
