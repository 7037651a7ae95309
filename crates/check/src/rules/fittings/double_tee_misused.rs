//! A double sanitary tee whose two inlets may not face each other.

use crate::code::Figure;
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::flow::{Passage, fixtures_through, next_fitting, passages_of};
use crate::rule::rule;
use truefall_model::catalog::family::Family;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::PartId;
use truefall_model::units::{Length, NominalSize};

rule! {
    /// # What it checks
    ///
    /// Where two fixtures drain into a double sanitary tee from opposite sides, its inlets are of one size, the fixtures
    /// are alike, closets have the length of level pipe that the code asks for, and the barrel is as much larger as the
    /// code wants.
    ///
    /// # Why
    ///
    /// What comes in on one side shoots across into the other, and so does a drain cable.
    ///
    /// # Source
    ///
    /// The code's limits on double fittings. Codes differ: the IRC and IPC want like fixtures, inlets of one size, and
    /// for closets a level length; the UPC wants a barrel two pipe sizes larger. A figure that a profile lacks is not held
    /// against the tee.
    ///
    /// # Limits
    ///
    /// Which fixtures are alike is judged by kind: closets, clothes washers and all others are three kinds, and unlike
    /// ones are a question for the official. A double fixture fitting is made for two
    /// fixtures and is not looked at. Of several faults of one tee
    /// the gravest is told. Length is level, from the closet's flange to the tee's centre.
    ///
    /// # Example
    ///
    /// Two closets back to back drain into a 3 in double sanitary tee, each 14 in from its flange: the IRC asks for 18.
    "double-tee-misused", Fittings, Code,
    "a double sanitary tee takes what it may not",
    figures: [],
    finds: ["double-tee-alike", "double-tee-closet-run", "double-tee-barrel"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for part in &ctx.rough_in.parts {
        if part.pattern().is_none_or(|p| p.family != Family::DoubleSanitaryTee) {
            continue;
        }
        let sides: Vec<Passage> =
            passages_of(ctx, part.id).into_iter().filter(|p| p.angle().to_degrees() > 1.0).collect();
        let [one, other] = &sides[..] else { continue };
        let faults = [
            barrel(ctx, one, other),
            sizes(ctx, one, other),
            closets(ctx, one, other),
            kinds(ctx, one, other),
        ];
        out.extend(faults.into_iter().flatten().min_by_key(|f| f.verdict));
    }
}

fn finding(ctx: &Ctx<'_>, tee: PartId, verdict: Verdict, what: String, figure: &Figure) -> Finding {
    Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
        .on([ctx.label(tee), &ctx.rough_in.run(ctx.rough_in.part(tee).run).label])
        .at(ctx.placed.origin(tee))
}

fn barrel(ctx: &Ctx<'_>, one: &Passage, other: &Passage) -> Option<Finding> {
    let figure = ctx.profile.find("double-tee-barrel")?;
    let tee = one.fitting;
    let run = ctx.rough_in.part(tee).ports()[one.leave].size;
    let inlet = one.size.max(other.size);
    let (larger, limit) = (steps(inlet, run), Limit::AtLeast(figure.value));
    let verdict = ctx.verdict(limit.margin(larger), 0.0)?;
    let what = format!(
        "{} has a {run} in barrel for {inlet} in inlets, {larger} pipe sizes larger, needs at least {}",
        ctx.label(tee),
        figure.value
    );
    Some(
        finding(ctx, tee, verdict, what, figure)
            .measured(larger, limit, "count")
            .line(format!("from {inlet} to {run} in: {larger} steps of the sizes of drain pipe"))
            .help("use a double wye or a double fixture fitting, or two tees one above the other"),
    )
}

/// How many sizes of drain pipe one is above another.
fn steps(small: NominalSize, large: NominalSize) -> f64 {
    let between = |size: &&NominalSize| **size > small && **size <= large;
    let count = NominalSize::ALL.iter().filter(between).count();
    f64::from(u8::try_from(count).unwrap_or(u8::MAX))
}

fn sizes(ctx: &Ctx<'_>, one: &Passage, other: &Passage) -> Option<Finding> {
    let figure = ctx.profile.find("double-tee-alike").filter(|f| f.value >= 0.5)?;
    if one.size == other.size {
        return None;
    }
    let tee = ctx.label(one.fitting);
    let what = format!(
        "{tee} takes {} in on one side and {} in on the other, has to be one size",
        one.size, other.size
    );
    Some(
        finding(ctx, one.fitting, Verdict::RedTag, what, figure)
            .help("make both sides one size, or use two tees one above the other"),
    )
}

fn closets(ctx: &Ctx<'_>, one: &Passage, other: &Passage) -> Option<Finding> {
    let figure = ctx.profile.find("double-tee-closet-run")?;
    let limit = Limit::AtLeast(figure.value);
    let tee = one.fitting;
    let short = [one, other]
        .into_iter()
        .filter_map(|side| Some((closet_on(ctx, side)?, run_to(ctx, side, tee))))
        .min_by(|a, b| a.1.to_inches().total_cmp(&b.1.to_inches()));
    let (closet, run) = short?;
    let verdict = ctx.verdict(limit.margin(run.to_inches()), 0.0)?;
    let name = &ctx.job.fixtures[closet].name;
    let what = format!(
        "{name} drains into the double tee {} after {run} of level pipe, needs at least {}",
        ctx.label(tee),
        figure.length()
    );
    Some(
        finding(ctx, tee, verdict, what, figure)
            .on([name])
            .measured(run.to_inches(), limit, "in")
            .line(format!("level from the flange to the tee's centre {:.3} in", run.to_inches()))
            .help("use a double wye with 1/8 bends or a double fixture fitting, or two tees one above the other"),
    )
}

/// The closet that drains by a side.
fn closet_on(ctx: &Ctx<'_>, side: &Passage) -> Option<usize> {
    let closet = |i: &usize| ctx.job.fixtures[*i].kind == FixtureKind::Closet;
    fixtures_through(ctx, side.from).into_iter().find(closet)
}

/// Level length from the landing of the closet on a side to the tee.
fn run_to(ctx: &Ctx<'_>, side: &Passage, tee: PartId) -> Length {
    let closet = closet_on(ctx, side);
    let Some(landing) = ctx.placed.landings.iter().find(|l| Some(l.fixture) == closet) else {
        return Length::ZERO;
    };
    let (mut at, mut run) = (landing.part, Length::ZERO);
    while at != tee {
        let Some(next) = next_fitting(ctx, at) else { break };
        run += Length::inches((ctx.placed.origin(next) - ctx.placed.origin(at)).xy().norm());
        at = next;
    }
    run
}

fn kinds(ctx: &Ctx<'_>, one: &Passage, other: &Passage) -> Option<Finding> {
    let figure = ctx.profile.find("double-tee-alike").filter(|f| f.value >= 0.5)?;
    let kinds = |side: &Passage| {
        let mut kinds: Vec<u8> = fixtures_through(ctx, side.from)
            .into_iter()
            .map(|i| match ctx.job.fixtures[i].kind {
                FixtureKind::Closet => 0,
                FixtureKind::WasherBox => 1,
                _ => 2,
            })
            .collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds
    };
    if kinds(one) == kinds(other) {
        return None;
    }
    let names = |side: &Passage| {
        let names: Vec<&str> =
            fixtures_through(ctx, side.from).into_iter().map(|i| ctx.job.fixtures[i].name.as_str()).collect();
        names.join(" and ")
    };
    let tee = ctx.label(one.fitting);
    let what = format!(
        "{tee} takes {} facing {}: whether they are alike, the official says",
        names(one),
        names(other)
    );
    Some(
        finding(ctx, one.fitting, Verdict::Ask, what, figure)
            .help("ask, or use two tees one above the other"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    // Sizes of drain pipe go 1-1/4, 1-1/2, 2, 2-1/2, 3, 4: two sizes over 1-1/2 is 2-1/2, two over 2 is 3, two over 3 is 5
    // with 5 counted and 4 only one. UPC 706.2 as quoted in a field guide.
    #[test]
    fn two_sizes_larger() {
        assert_eq!(steps(NominalSize::ONE_AND_A_HALF, NominalSize::TWO), 1.0);
        assert_eq!(steps(NominalSize::ONE_AND_A_HALF, NominalSize::TWO_AND_A_HALF), 2.0);
        assert_eq!(steps(NominalSize::TWO, NominalSize::THREE), 2.0);
        assert_eq!(steps(NominalSize::THREE, NominalSize::FOUR), 1.0);
        assert_eq!(steps(NominalSize::TWO, NominalSize::TWO), 0.0);
    }
}
