//! A cleanout that is smaller than its drain lets it be.

use crate::cleanout::Cleanout;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// A cleanout is as large as the code asks for the drain that leaves its fitting: as large as the drain under some codes, by
    /// a table under others. On a pipe that stands, some take one size less.
    ///
    /// # Why
    ///
    /// The head of a cable that clears a 3 in drain does not go in through 2 in.
    ///
    /// # Source
    ///
    /// The code's section on the size of cleanouts. No code's table is in print here: confirm it in your code book.
    ///
    /// # Limits
    ///
    /// Only a cleanout tee, and a plugged port of a fitting that the job lists as a cleanout, are looked at. A smaller plugged
    /// port that is not listed is a spare port: it is no fault, and counts as no cleanout for the other rules. A cleanout
    /// listed for a run, or for a fitting without a plugged port, has no known size. One size less than 3 in is 2-1/2, which
    /// plastic is not made in; whether 2 is taken on a stack the official says. That a trap with slip joints serves
    /// a drain one size larger is not asked for: it is no fitting of the job.
    ///
    /// # Example
    ///
    /// A 3 in drain's cleanout is the 2 in branch of a wye: it has to be 3, and 2-1/2 under another code.
    "cleanout-too-small", Cleanouts, Code,
    "a cleanout is too small for its drain",
    figures: ["cleanout-size"],
    finds: ["cleanout-size-on-stack"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for cleanout in Cleanout::each(ctx).iter().filter(|c| c.port.is_some()) {
        let Some((least, drain)) = cleanout.least(ctx) else { continue };
        let own = cleanout.size(ctx);
        let limit = Limit::AtLeast(least.value);
        let Some(verdict) = ctx.verdict(limit.margin(own.nominal().to_inches()), 0.0) else { continue };
        let (name, run) = (ctx.label(cleanout.part), ctx.run_of(cleanout.part));
        let what =
            format!("the cleanout {name} is {own} in on a {drain} in drain, at least {}", least.length());
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, least.source())
                .on([name, run])
                .at(ctx.placed.origin(cleanout.part))
                .measured(own.nominal().to_inches(), limit, "in")
                .line(format!("the drain that leaves {name} is {drain} in: a cleanout of {} in", least.value))
                .help(format!("make the plugged port {} in or larger", least.value)),
        );
    }
}
