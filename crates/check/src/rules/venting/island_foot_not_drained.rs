//! An island's vent whose lowest point does not lead into the drain in full size.

use super::lines::loops;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::vent::Way;
use std::collections::{BTreeSet, VecDeque};
use truefall_model::place::PartId;
use truefall_model::units::NominalSize;

rule! {
    /// # What it checks
    ///
    /// Where the vent of a sink that stands free of walls is lowest, it leads down into the drain by pipe as large as the vent, and
    /// comes to a drain that stands or to the upper half of one that lies.
    ///
    /// # Why
    ///
    /// Waste gets over the loop when the sink's drain is slow, and damp air drips. What is not drained stands at the foot and shuts
    /// the vent.
    ///
    /// # Source
    ///
    /// The code's section on island vents, from memory.
    ///
    /// # Limits
    ///
    /// The size is that of the vent at its smallest. Where along the drain the foot comes in, and whether the sink's drain serves other
    /// fixtures above that, is not looked at; one code wants it right downstream of the sink's own drop, with nothing else on it.
    ///
    /// # Example
    ///
    /// A loop of 2 in pipe whose foot is brought down to 1-1/2 in before it meets the drain: red.
    "island-foot-not-drained", Venting, Code,
    "the lowest point of an island's vent is not drained in full size",
    figures: ["island-foot", "vent-vertical-give"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("island-foot");
    for (trap, way, _) in loops(ctx) {
        let Some(lowest) = lowest(ctx, way) else { continue };
        let name = ctx.fixture(trap.fixture);
        let tell = |verdict, what: String| {
            Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                .on([name, ctx.label(lowest)])
                .at(ctx.placed.origin(lowest))
        };
        let place = ctx.label(lowest);
        let Some(foot) = Foot::of(ctx, way, lowest) else {
            let what = format!("the vent of {name} is lowest at {place}, and nothing drains it there");
            out.push(
                tell(Verdict::RedTag, what)
                    .line(format!("no pipe leads from {place} down into a drain"))
                    .help(format!("put a wye at {place} and drain it in full size")),
            );
            continue;
        };
        let own = way.smallest(ctx.rough_in).1;
        let least = own.nominal().to_inches() * figure.value;
        let (has, limit) = (foot.size.nominal().to_inches(), Limit::AtLeast(least));
        let into = ctx.label(foot.into);
        if foot.from_below {
            let what = format!("the foot of the vent of {name} comes into {into} from below");
            out.push(
                tell(Verdict::RedTag, what)
                    .on([into])
                    .line("it comes to a drain that stands, or to the upper half of one that lies")
                    .help(format!("roll {into} until its branch looks up, or level at the least")),
            );
            continue;
        }
        let Some(verdict) = ctx.verdict(limit.margin(has), 0.0) else { continue };
        let what = format!(
            "the vent of {name} is {own} in and drains from {place} into {into} by {} in, at least {own} in",
            foot.size
        );
        out.push(
            tell(verdict, what)
                .on([into])
                .measured(has, limit, "in")
                .line(format!(
                    "the vent at its smallest {own} in, its foot's drain at its smallest {} in",
                    foot.size
                ))
                .help(format!("run it in {own} in from {place} to {into}")),
        );
    }
}

/// The lowest fitting of a loop's way after it has turned over.
fn lowest(ctx: &Ctx<'_>, way: &Way) -> Option<PartId> {
    let fits: Vec<PartId> =
        way.parts.iter().map(|p| p.0).filter(|p| ctx.rough_in.part(*p).pattern().is_some()).collect();
    let z = |p: &PartId| ctx.placed.origin(*p).z;
    // The loop comes down from its highest fitting on the sink's side; what is after the wall rises for good.
    let falls = fits.windows(2).position(|pair| z(&pair[1]) < z(&pair[0]) - 0.5)?;
    fits[falls..].iter().copied().min_by(|a, b| z(a).total_cmp(&z(b)))
}

/// How a low point of a vent is drained.
struct Foot {
    /// The fitting on the drain.
    into: PartId,
    /// The smallest pipe between.
    size: NominalSize,
    /// It comes in from below the centre of a drain that lies.
    from_below: bool,
}

impl Foot {
    /// The shortest dry way from a part down to a drain, other than along the vent itself.
    fn of(ctx: &Ctx<'_>, way: &Way, lowest: PartId) -> Option<Self> {
        let air = &ctx.vents.air;
        let size_at = |part: PartId, port: usize| ctx.rough_in.part(part).ports()[port].size;
        let on_way = |part: PartId| part == way.from || way.parts.iter().any(|p| p.0 == part);
        let mut seen: BTreeSet<PartId> = BTreeSet::new();
        let mut todo = VecDeque::new();
        let start = ctx.rough_in.part(lowest).size();
        todo.push_back((lowest, start));
        while let Some((part, size)) = todo.pop_front() {
            for link in air.links_of(part).iter().filter(|l| !on_way(l.part)) {
                let size = size.min(size_at(part, link.port)).min(size_at(link.part, link.its_port));
                if !air.is_dry(link.part) {
                    let from_below = looks_down(ctx, link.part, link.its_port);
                    return Some(Self { into: link.part, size, from_below });
                }
                if seen.insert(link.part) {
                    todo.push_back((link.part, size));
                }
            }
        }
        None
    }
}

/// Whether a port of a drain that lies looks below level.
fn looks_down(ctx: &Ctx<'_>, part: PartId, port: usize) -> bool {
    let rough_in = ctx.rough_in;
    let Some(down) = rough_in.network.down[part.0 as usize].map(|j| rough_in.joint(j).high) else {
        return false;
    };
    let axis = |part, port| ctx.placed.axis(rough_in, part, port);
    let stands = axis(down.0, down.1).z < -std::f64::consts::FRAC_1_SQRT_2;
    // A drain on grade and a fitting square to it look a little down where they are level to the eye.
    let give = ctx.profile.figure("vent-vertical-give").angle();
    !stands && axis(part, port).z < -give.to_radians().sin()
}
