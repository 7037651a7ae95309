//! Two pipes joined by what does not take the outside of both.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::number::thousandths;
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::material::Material;
use truefall_model::place::{Joint, PartId, PartKind};
use truefall_model::tolerance::near;
use truefall_model::units::{Length, NominalSize};

rule! {
    /// # What it checks
    ///
    /// Wherever pipe, a fitting or a cut end goes into a hub or sleeve, both are of one kind and one outside diameter; only a
    /// transition coupling joins what is not. Where a transition coupling takes old hub-and-spigot iron, whose outside
    /// depends on its weight, it says what to measure.
    ///
    /// # Why
    ///
    /// Pipe of one label comes in several outsides: 3 in is 3.300 in service iron, 3.350 in hubless iron and 3.500 in plastic.
    /// A coupling for another pair slips on and leaks when it is tested, or later.
    ///
    /// # Source
    ///
    /// Our own rule; the outsides are those of the standards, from the catalog, and those of extra-heavy iron from the profile.
    ///
    /// # Limits
    ///
    /// A pipe in an old iron hub is left to its gasket or lead. Which sleeve a shop stocks for a pair is not known: read both
    /// outsides off the box. ABS in a PVC hub has the same outside, and that it takes its own cement is not told here.
    /// Two outsides are alike or not, so no pass is told.
    ///
    /// # Example
    ///
    /// A PVC coupling on a cut end of 2 in hubless iron: 2.350 in iron in a hub for 2.375.
    "coupling-does-not-fit", Iron,
    House("a joint is tight only on the outside it is made for"),
    "a joint does not take the outside of both pipes",
    figures: [],
    finds: ["iron-heavy"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for joint in &ctx.rough_in.joints {
        out.extend(misfit(ctx, joint));
        out.extend(unknown_weight(ctx, joint));
    }
}

/// A kind of pipe that is joined in one way.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Glued,
    Iron,
    Copper,
    Pex,
}

fn kind(material: Material) -> Kind {
    match material {
        Material::Pvc | Material::Abs | Material::PvcThin => Kind::Glued,
        Material::Iron | Material::IronHubless => Kind::Iron,
        Material::CopperDwv | Material::Copper => Kind::Copper,
        Material::Pex => Kind::Pex,
    }
}

/// One side of a joint.
struct Side {
    part: PartId,
    material: Material,
    size: NominalSize,
    outside: Length,
}

fn side(ctx: &Ctx<'_>, (part, port): (PartId, usize)) -> Option<Side> {
    let of = ctx.rough_in.part(part);
    let size = of.ports().get(port)?.size;
    let outside = match &of.kind {
        PartKind::Piece { outside, .. } | PartKind::Existing { outside, .. } => *outside,
        PartKind::Fitting { .. } => ctx.catalog.pipe(of.material, size)?.outside,
    };
    Some(Side { part, material: of.material, size, outside })
}

/// A transition coupling takes any pair, and an old hub is made tight by what is put in it.
fn takes_any(ctx: &Ctx<'_>, part: PartId) -> bool {
    let part = ctx.rough_in.part(part);
    part.pattern().is_some_and(|p| p.family == Family::TransitionCoupling)
        || matches!(part.kind, PartKind::Existing { hub: true, .. })
}

fn misfit(ctx: &Ctx<'_>, joint: &Joint) -> Option<Finding> {
    if takes_any(ctx, joint.low.0) || takes_any(ctx, joint.high.0) {
        return None;
    }
    let (low, high) = (side(ctx, joint.low)?, side(ctx, joint.high)?);
    if kind(low.material) == kind(high.material) && near(low.outside, high.outside) {
        return None;
    }
    let what = format!(
        "{} joins {} to {}, which are {} and {} in outside",
        ctx.joint_name(joint.id),
        words(&low),
        words(&high),
        decimal(low.outside),
        decimal(high.outside)
    );
    let off = (low.outside - high.outside).abs();
    Some(
        Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
            .on([ctx.label(low.part), ctx.label(high.part)])
            .at(ctx.placed.stop(ctx.rough_in, joint.high.0, joint.high.1))
            .measured(off.to_inches(), Limit::AtMost(0.0), "in")
            .line(format!("{} is {} in outside", words(&low), decimal(low.outside)))
            .line(format!("{} is {} in outside", words(&high), decimal(high.outside)))
            .help(format!(
                "put a shielded transition coupling between them, made for {} by {} in",
                decimal(low.outside),
                decimal(high.outside)
            )),
    )
}

/// A transition coupling on old hub-and-spigot iron: service or extra heavy, nobody said.
fn unknown_weight(ctx: &Ctx<'_>, joint: &Joint) -> Option<Finding> {
    let iron = side(ctx, joint.low)?;
    let existing = matches!(ctx.rough_in.part(iron.part).kind, PartKind::Existing { hub: false, .. });
    let sleeved = ctx.rough_in.part(joint.high.0).pattern()?.family == Family::TransitionCoupling;
    let heavy = ctx.profile.for_size("iron-heavy", iron.size)?;
    if iron.material != Material::Iron || !existing || !sleeved {
        return None;
    }
    let beyond = ctx.rough_in.joints.iter().find(|j| j.low.0 == joint.high.0 && !j.closing);
    let other = beyond.and_then(|j| side(ctx, j.high));
    let pair =
        other.as_ref().map_or_else(String::new, |o| format!(" by {} in {}", decimal(o.outside), words(o)));
    let (label, pi) = (ctx.label(joint.high.0), std::f64::consts::PI);
    let what = format!(
        "{label} goes on old {} in iron of service or extra-heavy weight, nobody said which",
        iron.size
    );
    Some(
        Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, heavy.source())
            .on([label, ctx.label(iron.part)])
            .at(ctx.placed.origin(joint.high.0))
            .line(format!(
                "service: {} in outside, {} in round it{pair}",
                decimal(iron.outside),
                thousandths(iron.outside.to_inches() * pi)
            ))
            .line(format!(
                "extra heavy: {} in outside, {} in round it{pair}",
                thousandths(heavy.value),
                thousandths(heavy.value * pi)
            ))
            .help("measure round the barrel with a tape, divide by 3.1416, and buy the coupling for both outsides"),
    )
}

fn words(side: &Side) -> String {
    format!("{} {}", side.size, side.material.word().replace('_', " "))
}

fn decimal(length: Length) -> String {
    thousandths(length.to_inches())
}
