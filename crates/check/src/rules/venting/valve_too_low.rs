//! An air admittance valve too near the water it must stay out of.

use super::lines::rim_line;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::thousandths;
use crate::rule::rule;
use crate::vent::{AirEnd, Method, Served};

rule! {
    /// # What it checks
    ///
    /// An air admittance valve stands so far over the drain it vents; one on top of a stack, so far over the highest rim it
    /// serves.
    ///
    /// # Why
    ///
    /// Waste that backs up to the valve fouls its seat, and it no longer opens, or no longer closes.
    ///
    /// # Source
    ///
    /// The code's section on air admittance valves.
    ///
    /// # Limits
    ///
    /// The valve's seat is taken at the end of the pipe or fitting it sits on, and the drain at the centre of the fitting the
    /// vent leaves. Whether one can get at it, whether air can, whether it stands upright (its makers say to within 15
    /// degrees), whether fixtures of two floors hang on one branch's valve, and the 6 in over insulation are not looked at. A code without
    /// such valves has nothing to hold it to: see `valve-not-allowed`.
    ///
    /// # Example
    ///
    /// A valve 3 in over the arm of a sink: 4 in are needed.
    "valve-too-low", Venting, Code,
    "an air admittance valve stands too low over its drain or rim",
    figures: [],
    finds: ["valve-over-drain", "valve-over-rim"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for served in ctx.vents.served().iter().filter(|s| s.way.end == AirEnd::Valve) {
        // A valve over one trap alone is an individual vent's, wherever it stands.
        let on_stack = ctx.vents.air.waste_of(served.way.from).len() > 1
            && served.trap.vent.as_ref().is_some_and(|v| {
                matches!(
                    v.method,
                    Method::StackVent | Method::VerticalWet | Method::WasteStack | Method::SingleStack
                )
            });
        out.extend(if on_stack { over_rim(ctx, served) } else { over_drain(ctx, served) });
    }
}

/// Height of the seat: the last part's outer end.
fn seat(ctx: &Ctx<'_>, served: &Served<'_>) -> f64 {
    let (part, port) = match served.way.parts.last() {
        Some((part, entered)) => {
            let ports = ctx.rough_in.part(*part).ports().len();
            (*part, (0..ports).rev().find(|p| p != entered).unwrap_or(*entered))
        }
        None => (served.way.from, served.way.port),
    };
    ctx.placed.stop(ctx.rough_in, part, port).z
}

fn over_drain(ctx: &Ctx<'_>, served: &Served<'_>) -> Option<Finding> {
    let figure = ctx.profile.find("valve-over-drain")?;
    let drain = ctx.placed.origin(served.way.from).z;
    let line = format!("the drain at {} is at {}", ctx.label(served.way.from), thousandths(drain));
    judge(ctx, served, drain, figure, "the drain it vents", line)
}

fn over_rim(ctx: &Ctx<'_>, served: &Served<'_>) -> Option<Finding> {
    let figure = ctx.profile.find("valve-over-rim")?;
    let (fixture, rim) = ctx.highest_rim(&served.fixtures)?;
    judge(
        ctx,
        served,
        rim.z,
        figure,
        &format!("the rim of {}", ctx.fixture(fixture)),
        rim_line(ctx, fixture, rim),
    )
}

fn judge(
    ctx: &Ctx<'_>,
    served: &Served<'_>,
    from: f64,
    figure: &crate::code::Figure,
    over: &str,
    line: String,
) -> Option<Finding> {
    let seat = seat(ctx, served);
    let limit = Limit::AtLeast(figure.value);
    let verdict = ctx.verdict(limit.margin(seat - from), 0.0)?;
    let last = served.way.parts.last().map_or(served.way.from, |p| p.0);
    let height = truefall_model::units::Length::inches(seat - from);
    let what = format!(
        "the air admittance valve at {} stands {height} over {over}, at least {}",
        ctx.label(last),
        figure.length()
    );
    Some(
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on(served.fixtures.iter().map(|f| ctx.fixture(*f)).chain([ctx.label(last)]))
            .at(ctx.placed.origin(last))
            .measured(seat - from, limit, "in")
            .line(line)
            .line(format!("the valve sits at {}", thousandths(seat)))
            .help(format!("raise it {}", figure.length() - height)),
    )
}
