//! More closets on 3 in pipe than the code counts.

use super::told;
use crate::ctx::Ctx;
use crate::drain::{Drain, drains, worst};
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// Where the code counts the closets on 3 in pipe, no lying and no standing 3 in drain carries more of them.
    ///
    /// # Why
    ///
    /// Each flush fills much of a 3 in pipe for a moment; several at once close it.
    ///
    /// # Source
    ///
    /// The code's count where it has one; a code that limits closets by fixture units alone has none and nothing is
    /// looked at.
    ///
    /// # Limits
    ///
    /// It sees the closets of the job, not what existing pipe brings. Of one run the leg with the most closets is told.
    ///
    /// # Example
    ///
    /// Four closets on a lying 3 in drain where three are allowed: tagged, though they are but 12 of 35 fixture units.
    "closets-on-3-in", Loads, Code,
    "more closets on 3 in pipe than the code counts",
    figures: [],
    finds: ["closets-on-3"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains = drains(ctx);
    let judged = drains.iter().filter(|d| d.size == NominalSize::THREE).filter_map(|d| judge(ctx, d));
    out.extend(worst(judged).into_iter().map(|(_, finding)| finding));
}

fn judge<'d>(ctx: &Ctx<'_>, drain: &'d Drain) -> Option<(&'d Drain, f64, Finding)> {
    let (figure, lies) = match drain.stands() {
        true => (ctx.profile.find("closets-on-3.vertical")?, "standing"),
        false => (ctx.profile.find("closets-on-3.horizontal")?, "lying"),
    };
    let closets = drain.count(ctx, FixtureKind::Closet) as f64;
    let limit = Limit::AtMost(figure.value);
    let verdict = ctx.verdict(limit.margin(closets), 0.0).filter(|_| closets > 0.0)?;
    let what = format!(
        "{} carries {closets} closets, {lies} 3 in pipe at most {}",
        ctx.leg_name(drain.leg),
        figure.value
    );
    let finding = told(ctx, RULE.id, verdict, drain, what, figure.source())
        .measured(closets, limit, "count")
        .line(format!("{closets} closets, {} are allowed", figure.value))
        .help("run it in 4 in pipe from where the closets join, or take one to another drain");
    Some((drain, limit.margin(closets), finding))
}
