//! A closet's flange at a distance off the wall that no closet is made for.

use crate::closet::Closet;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// How far off the finished wall the job wants each closet's flange, against the rough-ins closets are made for: 10, 12
    /// and 14 in.
    ///
    /// # Why
    ///
    /// A flange less far off than the closet's rough-in leaves no room for the tank; one much farther off leaves it standing
    /// free of the wall. From bare studs the finish comes off first.
    ///
    /// # Source
    ///
    /// Common practice: the distances are those closets are sold for, and how much of a gap behind a tank goes unnoticed is a
    /// choice of this project.
    ///
    /// # Limits
    ///
    /// It looks at where the job wants the flange; where it lands is told by `misfit-at-fixture`. Closets on a wall hanger
    /// or with a rear outlet are not known.
    ///
    /// # Example
    ///
    /// A flange 12 in off the bare studs is 11-1/16 in off the tile: a 10 in closet would stand 1-1/16 off the wall, and a 12 in
    /// closet does not go in.
    "closet-off-its-rough", Room,
    House("closets are made for set distances off the finished wall"),
    "a flange is at a distance off the wall that no closet is made for",
    figures: ["closet-rough", "closet-rough-gap"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for closet in Closet::each(ctx) {
        out.extend(judge(ctx, &closet));
    }
}

fn judge(ctx: &Ctx<'_>, closet: &Closet<'_>) -> Option<Finding> {
    let wanted = closet.wall.measure(closet.landing.wants.xy()).1 - closet.wall.finish_room;
    let mut roughs: Vec<_> = RULE.figures_of(ctx.profile);
    roughs.retain(|f| f.key != "closet-rough-gap");
    roughs.sort_by(|a, b| a.value.total_cmp(&b.value));
    let gap = ctx.profile.figure("closet-rough-gap");
    // The farthest it is made for that still leaves the tank room, or the least of all.
    let made = roughs.iter().rev().find(|f| Limit::AtLeast(f.value).allows(wanted)).or(roughs.first())?;
    let limit = Limit::Between(made.value, made.value + gap.value);
    let told = ctx.verdict(limit.margin(wanted), 0.0)?;
    let off = Length::inches(wanted);
    let sold: Vec<String> = roughs.iter().map(|f| f.length().to_string()).collect();
    let too_near = wanted < made.value;
    let verdict = match (told, too_near) {
        (Verdict::Pass, _) => Verdict::Pass,
        (_, true) => Verdict::Ask,
        (_, false) => Verdict::Watch,
    };
    let what = format!(
        "{} is wanted {off} off the finished wall; closets are made for {}",
        closet.name(),
        sold.join(", ")
    );
    let next = roughs.iter().find(|f| f.value > wanted);
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, made.source())
        .on([closet.name()])
        .at(closet.landing.wants)
        .measured(wanted, limit, "in")
        .line(format!(
            "from the finished face of {} to the flange's centre: {wanted:.3} in",
            closet.wall.label
        ));
    if closet.wall.finish_room > 0.0 {
        finding = finding.line(format!(
            "from the bare studs {:.3} in, less {:.3} of finish",
            wanted + closet.wall.finish_room,
            closet.wall.finish_room
        ));
    }
    if !too_near {
        finding = finding.line(format!(
            "a {} closet would stand {:.3} in off the wall, {:.3} goes unnoticed",
            made.length(),
            wanted - made.value,
            gap.value
        ));
    }
    Some(finding.help(match next {
        Some(next) => format!(
            "move the flange {} out for a {} closet",
            Length::inches(next.value - wanted),
            next.length()
        ),
        None => format!(
            "move the flange {} in for a {} closet",
            Length::inches(wanted - made.value),
            made.length()
        ),
    }))
}
