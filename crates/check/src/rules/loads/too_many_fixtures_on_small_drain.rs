//! Small pipe that the code counts fixtures on.

use super::told;
use crate::ctx::Ctx;
use crate::drain::{Drain, Lie, drains, worst};
use crate::finding::{Finding, Limit, Verdict};
use crate::load::Load;
use crate::rule::rule;

rule! {
    /// # What it checks
    ///
    /// Where the code counts the fixtures on a small size: no 1-1/4 in drain carries more than one, no 1-1/2 in branch of the
    /// building drain more than two.
    ///
    /// # Why
    ///
    /// Such pipe runs full with what one or two fixtures send.
    ///
    /// # Source
    ///
    /// Remarks to the code's size tables; a code without them is not looked at.
    ///
    /// # Limits
    ///
    /// Whether pipe that ends at lying existing work is a branch of the building drain or of a stack is not known: it is a
    /// question. That one pumped fixture or disposer fills the count by itself is not seen. What is
    /// overloaded by its units already is told as that. Of one run and size the leg with the most is told.
    ///
    /// # Example
    ///
    /// Three lavatories on a 1-1/2 in branch of the building drain: as a stack's branch it could carry their 3 units; asked.
    "too-many-fixtures-on-small-drain", Loads, Code,
    "small pipe carries more fixtures than the code counts on it",
    figures: ["branch-load", "dfu"],
    finds: ["branch-fixtures", "building-drain-fixtures"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let drains = drains(ctx);
    let judged = drains.iter().filter_map(|d| judge(ctx, d));
    out.extend(worst(judged).into_iter().map(|(_, finding)| finding));
}

fn judge<'d>(ctx: &Ctx<'_>, drain: &'d Drain) -> Option<(&'d Drain, f64, Finding)> {
    let at_the_foot = matches!(drain.lie, Lie::Lying { stack_below: false, may_be_building_drain: true, .. });
    let of_building_drain =
        ctx.profile.for_size("building-drain-fixtures", drain.size).filter(|_| at_the_foot);
    let (figure, verdict, of) = match ctx.profile.for_size("branch-fixtures", drain.size) {
        Some(figure) => (figure, Verdict::RedTag, "drain"),
        None => (of_building_drain?, Verdict::Ask, "branch of the building drain"),
    };
    let count = drain.fixtures.len() as f64;
    let limit = Limit::AtMost(figure.value);
    let overloaded = || {
        let most = ctx.profile.for_size("branch-load", drain.size);
        most.is_some_and(|most| Load::of(ctx, &drain.fixtures).units > most.value)
    };
    let verdict = match ctx.verdict(limit.margin(count), 0.0)? {
        Verdict::Pass => Verdict::Pass,
        _ if overloaded() => return None,
        _ => verdict,
    };
    let what = format!(
        "{} carries {count} fixtures, a {} in {of} at most {}",
        ctx.leg_name(drain.leg),
        drain.size,
        figure.value
    );
    let finding = told(ctx, RULE.id, verdict, drain, what, figure.source())
        .measured(count, limit, "count")
        .line(format!("{count} fixtures, {} are allowed", figure.value))
        .help("lay it in the next size from where they join");
    Some((drain, limit.margin(count), finding))
}
