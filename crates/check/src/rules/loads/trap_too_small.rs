//! A trap smaller than its fixture needs.

use crate::arm::{Arm, arms};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::rule::rule;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// Each fixture's trap has at least the size the code gives for it: the trap in the run, or the one that is hung on the stub
    /// at finish, which is as large as the job says and never larger than the stub.
    ///
    /// # Why
    ///
    /// A trap that is too small does not keep up with its fixture and stops with what goes down it.
    ///
    /// # Source
    ///
    /// The code's table of fixtures and trap sizes.
    ///
    /// # Limits
    ///
    /// A closet's trap is its own. A shower is taken as one of no more than 5.7 gal a minute; more asks for a larger trap
    /// in some codes. Where the job does not say how large the trap at finish is, only a stub too small for the least is
    /// told.
    ///
    /// # Example
    ///
    /// A washer's standpipe stands on a 1-1/2 in trap, 2 in is the least: tagged.
    "trap-too-small", Loads, Code,
    "a trap is smaller than its fixture needs",
    figures: ["trap-min"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    out.extend(arms(ctx).iter().filter_map(|arm| judge(ctx, arm)));
}

fn judge(ctx: &Ctx<'_>, arm: &Arm) -> Option<Finding> {
    let fixture = &ctx.job.fixtures[arm.fixture];
    let figure = ctx.profile.find(&format!("trap-min.{}", fixture.kind.word()))?;
    let (size, what) = match trap_size(ctx, arm) {
        (size, Known::Built) => (size, format!("the trap of {} is {size} in", fixture.name)),
        (size, Known::Stated) => (size, format!("the trap of {} is stated as {size} in", fixture.name)),
        (size, Known::AtMost) => {
            (size, format!("the stub for {} takes no trap larger than {size} in", fixture.name))
        }
    };
    let limit = Limit::AtLeast(figure.value);
    let nominal = size.nominal().to_inches();
    let verdict = ctx.verdict(limit.margin(nominal), 0.0)?;
    let (least, kind) = (figure.length(), fixture.kind.word().replace('_', " "));
    let what = format!("{what}, a {kind} needs {least} at least");
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([&fixture.name, ctx.label(arm.trap)])
            .at(arm.weir)
            .measured(nominal, limit, "in")
            .line(format!("{size} in, the least for a {kind} is {least}"))
            .help(format!("use a {least} trap and run its arm in {least} pipe")),
    )
}

/// How a trap's size is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Known {
    /// It is a part of the run.
    Built,
    /// It is hung at finish, and the job says how large it is.
    Stated,
    /// It is hung at finish and no larger than the stub.
    AtMost,
}

/// The size of an arm's trap and how it is known.
pub(super) fn trap_size(ctx: &Ctx<'_>, arm: &Arm) -> (NominalSize, Known) {
    let part = ctx.rough_in.part(arm.trap);
    if part.pattern().is_some_and(|p| p.weir.is_some()) {
        return (part.size(), Known::Built);
    }
    match ctx.job.fixtures[arm.fixture].trap {
        Some(stated) => (stated, Known::Stated),
        None => (part.size(), Known::AtMost),
    }
}
