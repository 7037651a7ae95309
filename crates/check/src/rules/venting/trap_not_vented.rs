//! A trap that no method of the code vents.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::{Trap, Vented};

rule! {
    /// # What it checks
    ///
    /// Every trap, a closet's own too, has a vent by a method its code allows: a dry vent of its own, the dry top of its
    /// stack, one shared by two traps, a wet vent of its bath, a circuit vent, a waste stack, a single stack, a combination drain and vent, or
    /// an island's loop. A stack that carries waste past a connection does not vent it unless one of these says so.
    ///
    /// # Why
    ///
    /// Without air the waste that runs off, or comes by from above, sucks the trap dry, and sewer gas comes into the room.
    ///
    /// # Source
    ///
    /// The code's rule that every trap be vented, and its sections on each method.
    ///
    /// # Limits
    ///
    /// A combination drain and vent is held to what may run into the building drain where all below it lies, though
    /// it may be a branch. Where a code leaves a method to the official, or does not say, it asks. A relief vent is a dry vent that leaves a circuit's branch below its last drain, or the last drain itself where it brings few
    /// units of fixtures that have dry vents of their own. Bath
    /// groups are told by what the fixtures are and by their floor, not by the room. A vent that is no part of the job is not
    /// seen, such as one in the work it stands on. A fixture without a trap in its run is told by `trap-missing`.
    /// Where several methods would hold, the first of the list counts. What lies between two fittings pushed together
    /// has no size to hold to a table. A pass names the method, and measures what its code counts: traps on a dry vent or a
    /// circuit, fixture units on the others.
    ///
    /// # Example
    ///
    /// A lavatory joins the stack below the connection of a closet upstairs: the stack is wet there, and the two are on two
    /// floors.
    "trap-not-vented", Venting, Code,
    "a trap has no vent by any method of the code",
    figures: ["vents-to-open-air", "wet-vent", "wet-vent-groups", "wet-vent-vertical", "common-vent-traps", "vent-vertical-within", "vent-vertical-give"],
    finds: [
        "common-vent-downstream", "common-vent", "wet-vent-vertical-groups", "wet-vent-vertical-each",
        "wet-vent-vertical-fixtures", "wet-vent-vertical-length", "wet-vent-vertical-sizes-over", "waste-stack-interval",
        "waste-stack-total", "single-stack", "single-stack-height", "single-stack-closets", "single-stack-reach",
        "single-stack-branch-closets", "single-stack-branch-near", "single-stack-branch-others", "single-stack-branch-drain",
        "combination-branch", "combination-building-drain", "combination-grade", "combination-drop", "combination-larger",
        "circuit-vent-traps", "circuit-vent-grade", "circuit-vent-relief-closets", "circuit-relief-fixture",
    ],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    if ctx.passes {
        out.extend(ctx.vents.traps.iter().filter_map(|t| passes(ctx, t, t.vent.as_ref()?)));
    }
    for trap in ctx.vents.traps.iter().filter(|t| t.vent.is_none()) {
        let name = ctx.fixture(trap.fixture);
        let figure = ctx.profile.figure("vents-to-open-air");
        let asks = trap.tried.iter().find(|t| t.asks).and_then(|t| t.method);
        let verdict = if asks.is_some() { Verdict::Ask } else { Verdict::RedTag };
        let what = match (trap.reached, asks) {
            (_, Some(method)) => {
                format!("the trap of {name} has its air by a {method} only if the official takes it for one")
            }
            (Some(at), None) => format!(
                "the trap of {name} has no vent: none of the code's methods holds at {}",
                ctx.label(at)
            ),
            (None, None) => format!("the trap of {name} has no vent: no air reaches it down to the base"),
        };
        let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([name])
            .at(trap.at)
            .lines(trap.tried.iter().map(ToString::to_string))
            .help(format!(
                "give {name} a dry vent where its drain meets others, or change what the lines above name"
            ));
        finding.labels.extend(trap.reached.map(|at| ctx.label(at).clone()));
        out.push(finding);
    }
}

/// How a trap is vented, and how much more its method would take.
fn passes(ctx: &Ctx<'_>, trap: &Trap, vent: &Vented) -> Option<Finding> {
    let held = vent.held?;
    let figure = match held.size {
        Some(size) => ctx.profile.for_size(held.key, size)?,
        None => ctx.profile.find(held.key)?,
    };
    let (name, at) = (ctx.fixture(trap.fixture), ctx.label(vent.fitting));
    let what = format!("the trap of {name} has its air by {} {} at {at}", article(vent), vent.method);
    let shared: Vec<&str> = vent.shared.iter().map(|f| ctx.fixture(*f).as_str()).collect();
    Some(
        Finding::new(RULE.id, Verdict::Pass, ctx.placement(), what, figure.source())
            .on([name, at])
            .at(trap.at)
            .measured(held.measured, Limit::AtMost(figure.value), figure.unit)
            .line(format!("on it: {}", shared.join(", ")))
            .line(match held.size {
                Some(size) => format!("{} units; {size} in pipe may take {}", held.measured, figure.value),
                None => format!("traps on one vent: {}, at most {}", held.measured, figure.value),
            }),
    )
}

fn article(vent: &Vented) -> &'static str {
    use crate::vent::Method;
    match vent.method {
        Method::Individual | Method::Island => "an",
        _ => "a",
    }
}
