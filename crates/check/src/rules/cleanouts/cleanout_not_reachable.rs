//! A cleanout that can't be got at.

use crate::bore::telling::short;
use crate::cleanout::Cleanout;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::obstacle::Obstacle;
use crate::rule::rule;
use nalgebra::{Point2, Point3, Vector3};
use truefall_model::label::Label;
use truefall_model::tolerance::SLACK;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// From each cleanout's opening straight out there is as much clear space as the code asks for its size before a wall or
    /// a keep-out stands in the way.
    ///
    /// # Why
    ///
    /// A cable has to be fed in straight, by someone who has room for his arms.
    ///
    /// # Source
    ///
    /// The code's clearance in front of a cleanout, by the size of its pipe.
    ///
    /// # Limits
    ///
    /// It knows the walls and keep-outs of the job and no others; the wall the cleanout is in, which it opens out of, does
    /// not count. An opening that looks up or down, and a cleanout
    /// listed on a fitting without a plugged port, can't be judged and are told as not checked; one listed for a whole
    /// run is not looked for. How high a crawl space is
    /// and how far in it the cleanout lies is not looked at.
    ///
    /// # Example
    ///
    /// A 3 in cleanout tee looks at a wall 16 in away: 18 are needed, and 24 under another code.
    "cleanout-not-reachable", Cleanouts, Code,
    "a cleanout has too little room in front of it",
    figures: ["cleanout-clearance"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for cleanout in Cleanout::each(ctx) {
        out.extend(judge(ctx, &cleanout));
    }
}

fn judge(ctx: &Ctx<'_>, cleanout: &Cleanout) -> Option<Finding> {
    let size = cleanout.size(ctx);
    let figure = ctx.profile.for_size("cleanout-clearance", size)?;
    let name = ctx.label(cleanout.part);
    let finding = |verdict, what| {
        Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
            .on([name, &ctx.rough_in.run(ctx.rough_in.part(cleanout.part).run).label])
            .at(ctx.placed.origin(cleanout.part))
    };
    let Some((opening, way)) = cleanout.opening(ctx) else {
        let what = format!("the cleanout listed at {name} is in none of its ports: plug the port it is in");
        return Some(finding(Verdict::NotChecked, what));
    };
    if way.z.abs() > std::f64::consts::FRAC_1_SQRT_2 {
        let what = format!(
            "the cleanout {name} looks {}: measure the room before it",
            if way.z > 0.0 { "up" } else { "down" }
        );
        return Some(finding(Verdict::NotChecked, what));
    }
    let (clear, before) = before(ctx, opening, way, size.nominal())?;
    let limit = Limit::AtLeast(figure.value);
    let verdict = ctx.verdict(limit.margin(clear), 0.0)?;
    let missing = figure.length() - Length::inches(clear);
    let what = format!(
        "the {size} in cleanout {name} has {} in front of it to {before}, needs at least {}",
        Length::inches(clear),
        figure.length()
    );
    Some(
        finding(verdict, what)
            .on([before])
            .measured(clear, limit, "in")
            .line(format!("from its opening straight out to {before}: {clear:.3} in"))
            .line(format!("{clear:.3} in, at least {:.3}: {}", figure.value, short(missing)))
            .help(format!("turn it to face the room, or move it back {}", missing)),
    )
}

/// The nearest thing straight before an opening, as wide as the opening; not what the opening is in or touches.
fn before<'a>(
    ctx: &Ctx<'a>,
    opening: Point3<f64>,
    way: Vector3<f64>,
    size: Length,
) -> Option<(f64, &'a Label)> {
    let level = way.xy().normalize();
    let half = size.to_inches() / 2.0;
    let found = Obstacle::between(&ctx.rough_in.framed, opening.z - half, opening.z + half);
    let local = |p: Point2<f64>| {
        let off = p - opening.xy();
        Point2::new(off.perp(&level), off.dot(&level))
    };
    let ahead = found.into_iter().filter_map(|o| {
        let label = o.label;
        let nearest = o.map(local).within((-half, half), (-size.to_inches(), f64::INFINITY))?.y.0;
        (nearest > SLACK).then_some((nearest, label))
    });
    ahead.min_by(|a, b| a.0.total_cmp(&b.0))
}
