//! A vent tied to another below where waste may stand.

use super::lines::{names, rim_line};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit};
use crate::number::thousandths;
use crate::rule::rule;
use std::collections::{BTreeMap, BTreeSet};
use truefall_model::place::PartId;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where dry vents join, they do so that far over the highest flood level of the fixtures they serve.
    ///
    /// # Why
    ///
    /// Joined lower, the vent of a stopped drain becomes its overflow: the waste goes down by the other's vent, and nobody
    /// sees that the drain is stopped.
    ///
    /// # Source
    ///
    /// The code's section on the connection of vents to a vent or stack vent.
    ///
    /// # Limits
    ///
    /// Heights are those of the centre of the fitting where they join. Rims the job does not give are usual ones. A vent
    /// tied into pipe that carries waste is no vent, and is told by `trap-not-vented`.
    ///
    /// # Example
    ///
    /// A tub's vent tied back at 34 in; the lavatory it joins has its rim at 32: 38 are needed.
    "vent-tied-too-low", Venting, Code,
    "vents join too low over the highest rim they serve",
    figures: ["vent-tie-over-rim"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("vent-tie-over-rim");
    let mut meet: BTreeMap<PartId, (BTreeSet<usize>, BTreeSet<usize>)> = BTreeMap::new();
    for served in ctx.vents.served() {
        for (part, entered) in &served.way.parts {
            let entry = meet.entry(*part).or_default();
            entry.0.insert(*entered);
            entry.1.extend(&served.fixtures);
        }
    }
    for (part, (_, fixtures)) in meet.iter().filter(|(_, (ports, _))| ports.len() > 1) {
        let Some((fixture, rim)) = ctx.highest_rim(fixtures) else { continue };
        let at = ctx.placed.origin(*part);
        let limit = Limit::AtLeast(figure.value);
        let Some(verdict) = ctx.verdict(limit.margin(at.z - rim.z), 0.0) else { continue };
        let height = Length::inches(at.z - rim.z);
        let what = format!(
            "the vents of {} join at {}, {height} over the rim of {}, at least {}",
            names(ctx, fixtures),
            ctx.label(*part),
            ctx.fixture(fixture),
            figure.length()
        );
        out.push(
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([ctx.label(*part), ctx.fixture(fixture)])
                .at(at)
                .measured(at.z - rim.z, limit, "in")
                .line(rim_line(ctx, fixture, rim))
                .line(format!("{} is at {}", ctx.label(*part), thousandths(at.z)))
                .help(format!("raise {} by {}", ctx.label(*part), figure.length() - height)),
        );
    }
}
