//! A fitting that may not turn the flow the way it does.

use crate::code::Figure;
use crate::ctx::Ctx;
use crate::cure::fit::swaps;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::{Passage, Turn, family, fixtures_through, passages};
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::catalog::family::Family;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::PartId;
use truefall_model::tolerance::SLACK;

rule! {
    /// # What it checks
    ///
    /// Wherever waste changes direction, the code's table allows the fitting there for that change: from level to down,
    /// from down to level, from level to level. No fitting turns waste back by more than a right angle.
    ///
    /// # Why
    ///
    /// Water that falls onto a short turn is stopped, and leaves behind what it carries. Turned down, it falls away by
    /// itself: a short 90 from level to down is fine and is not told.
    ///
    /// # Source
    ///
    /// The code's table of fittings for changes of direction, cell by cell: `turn.…` is 1 for yes and 0 for no,
    /// `turn-fixture-drain.…` the largest drain of one fixture that it may still be in, `turn-from.…` the least size that
    /// it may be in anyway. Where a profile has no cell, the code leaves it to the official, and so do we.
    ///
    /// # Limits
    ///
    /// A drain is one fixture's where no other fixture of the job drains through it; later work is not known. The bend
    /// next to a closet's flange passes from the size that codes name for it (`closet-bend-from`). A closet bend counts as
    /// a short sweep, a double fixture fitting as a sanitary tee, a bend with an inlet as its bend; what comes in by the
    /// inlet is `inlet-bend-misused`'s. Sweeps between short and long are not in the catalog. A sanitary tee that is not
    /// upright is told by `tee-not-upright`, a vent fitting by `vent-fitting-in-drain`, and neither here.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// A 3 in drain turns from the joists' bay into the next by a 1/4 bend: tagged. A long-turn 1/4 bend passes.
    "wrong-fitting-for-turn", Fittings, Code,
    "a fitting is not allowed for the way it turns the flow",
    figures: ["closet-bend-from", "turn-most", "vertical-within"],
    finds: ["turn", "turn-fixture-drain", "turn-from"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for passage in passages(ctx) {
        let by_inlet =
            family(ctx, passage.fitting).is_some_and(Family::is_inlet_bend) && passage.enter == INLET;
        if by_inlet || told_elsewhere(ctx, passage.fitting) {
            continue;
        }
        out.extend(against_the_flow(ctx, &passage).or_else(|| not_in_the_table(ctx, &passage)));
    }
}

/// The port of a bend's heel or side inlet.
const INLET: usize = 2;

/// Fittings whose fault another rule tells.
fn told_elsewhere(ctx: &Ctx<'_>, part: PartId) -> bool {
    let Some(pattern) = ctx.rough_in.part(part).pattern() else { return true };
    let lies = || {
        let sweep = ctx.placed.axis(ctx.rough_in, part, pattern.enter);
        sweep.angle(&-Vector3::z()).to_degrees() > ctx.profile.figure("vertical-within").value + SLACK
    };
    match pattern.family {
        Family::SanitaryTee
        | Family::StreetSanitaryTee
        | Family::DoubleSanitaryTee
        | Family::DoubleFixtureFitting => lies(),
        Family::PTrap => true,
        _ => pattern.dry_only,
    }
}

fn against_the_flow(ctx: &Ctx<'_>, passage: &Passage) -> Option<Finding> {
    let figure = ctx.profile.figure("turn-most");
    let turns = passage.angle().to_degrees();
    let limit = Limit::AtMost(figure.value);
    if limit.allows(turns) {
        return None;
    }
    let what = format!(
        "{} turns the waste from {} back by {turns:.1} degrees, at most {}",
        name(ctx, passage.fitting),
        ctx.label(passage.from),
        figure.value
    );
    Some(
        finding(ctx, passage, Verdict::RedTag, what, figure)
            .measured(turns, limit, "deg")
            .line(travel("comes in", passage.travel_in))
            .line(travel("goes out", passage.travel_out))
            .help("turn it round, so that its branch leans the way the water goes"),
    )
}

fn not_in_the_table(ctx: &Ctx<'_>, passage: &Passage) -> Option<Finding> {
    let turn = passage.turn(ctx)?;
    let row = row(family(ctx, passage.fitting)?)?;
    let profile = ctx.profile;
    let find = |table: &str| profile.find(&format!("{table}.{row}.{}", turn.key()));
    let cell = find("turn");
    if cell.is_some_and(|c| c.value >= 0.5) {
        return None;
    }
    let size = passage.size.nominal().to_inches();
    let fixtures = fixtures_through(ctx, passage.from);
    let in_fixture_drain = find("turn-fixture-drain");
    if fixtures.len() == 1 && in_fixture_drain.is_some_and(|f| Limit::AtMost(f.value).allows(size)) {
        return None;
    }
    let from = find("turn-from");
    if from.is_some_and(|f| Limit::AtLeast(f.value).allows(size)) {
        return None;
    }
    let closet = profile.figure("closet-bend-from");
    if is_under_a_closet(ctx, passage, &fixtures) && Limit::AtLeast(closet.value).allows(size) {
        return None;
    }
    let subject = format!("{} turns waste {}", name(ctx, passage.fitting), turn.words());
    let Some(figure) = cell else {
        let what = format!("{subject}: the code leaves that to the official");
        let told = in_fixture_drain.or(from).unwrap_or_else(|| profile.figure("turn-most"));
        return Some(
            finding(ctx, passage, Verdict::Ask, what, told)
                .line(format!("{} {} has no row for it", profile.code(), profile.edition()))
                .help(cure(turn)),
        );
    };
    let mut told =
        finding(ctx, passage, Verdict::RedTag, format!("{subject}, which the code does not allow"), figure)
            .line(travel("comes in", passage.travel_in))
            .line(travel("goes out", passage.travel_out));
    if let Some(most) = in_fixture_drain {
        told = told.line(format!(
            "allowed up to {} in in the drain of one fixture: {} in, {} here",
            most.value,
            passage.size,
            count(fixtures.len())
        ));
    }
    if let Some(least) = from {
        told =
            told.line(format!("allowed from {} in up in any drain: {} in here", least.value, passage.size));
    }
    Some(told.help(cure(turn)).cure(swaps(ctx, passage.fitting, instead(ctx, passage.fitting))))
}

/// Patterns that turn the flow the same way with a longer sweep.
fn instead(ctx: &Ctx<'_>, part: PartId) -> &'static [Family] {
    match family(ctx, part) {
        Some(Family::QuarterBend | Family::StreetQuarterBend) => &[Family::LongTurnQuarterBend],
        Some(Family::SanitaryTee) => &[Family::Combination, Family::Wye],
        _ => &[],
    }
}

/// The table's row for a family.
fn row(family: Family) -> Option<&'static str> {
    Some(match family {
        Family::SixteenthBend | Family::StreetSixteenthBend => "sixteenth-bend",
        Family::EighthBend | Family::StreetEighthBend => "eighth-bend",
        Family::SixthBend => "sixth-bend",
        Family::QuarterBend | Family::StreetQuarterBend | Family::HeelInletBend | Family::SideInletBend => {
            "quarter-bend"
        }
        Family::ClosetBend => "short-sweep",
        Family::LongTurnQuarterBend => "long-sweep",
        Family::SanitaryTee
        | Family::StreetSanitaryTee
        | Family::DoubleSanitaryTee
        | Family::DoubleFixtureFitting => "sanitary-tee",
        Family::Wye => "wye",
        Family::Combination => "combination",
        _ => return None,
    })
}

/// Whether a passage is that of the bend next below a closet's flange.
fn is_under_a_closet(ctx: &Ctx<'_>, passage: &Passage, fixtures: &[usize]) -> bool {
    let [fixture] = fixtures else { return false };
    let flange =
        |part: PartId| matches!(family(ctx, part), Some(Family::ClosetFlange | Family::SpigotClosetFlange));
    ctx.job.fixtures[*fixture].kind == FixtureKind::Closet
        && (flange(passage.from) || ctx.rough_in.network.above(passage.from).any(|(_, part)| flange(part)))
}

fn finding(ctx: &Ctx<'_>, passage: &Passage, verdict: Verdict, what: String, figure: &Figure) -> Finding {
    Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([ctx.label(passage.fitting), &ctx.rough_in.run(ctx.rough_in.part(passage.fitting).run).label])
        .at(ctx.placed.origin(passage.fitting))
}

fn name(ctx: &Ctx<'_>, part: PartId) -> String {
    let pattern = ctx.rough_in.part(part).pattern().map_or("", |p| p.name.as_str());
    format!("{} ({pattern})", ctx.label(part))
}

fn travel(how: &str, way: Vector3<f64>) -> String {
    let off = way.angle(&-Vector3::z()).to_degrees();
    format!("it {how} {off:.1} degrees off straight down")
}

fn count(fixtures: usize) -> String {
    match fixtures {
        1 => "one fixture".to_owned(),
        n => format!("{n} fixtures"),
    }
}

fn cure(turn: Turn) -> &'static str {
    match turn {
        Turn::DownToLevel | Turn::LevelToLevel => {
            "use a long-turn 1/4 bend, two 1/8 bends, or for a branch a wye with a 1/8 bend or a combination"
        }
        Turn::LevelToDown => "use a sanitary tee or a 1/4 bend",
    }
}
