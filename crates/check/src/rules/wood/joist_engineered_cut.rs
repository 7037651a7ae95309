//! An I-joist or truss that is cut.

use crate::bore::telling::{Told, decimal};
use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::framing::member::MemberKind;
use truefall_model::tolerance::at_least;

rule! {
    /// # What it checks
    /// Any hole in an I-joist or truss. One that reaches into a flange or chord is a red tag; one in the web is a question
    /// for the maker's chart.
    ///
    /// # Why
    /// Shares of the depth hold for solid wood. A made-up member carries by its flanges, and how much of the web may go
    /// depends on where along it and on the maker.
    ///
    /// # Source
    /// IRC R502.8.2: only as the maker's recommendations or an engineer allow.
    ///
    /// # Limits
    /// A truss is a box here: a pipe that passes between its chords is asked about though it may miss every web. Where the
    /// height of the flange was not given, every hole is a question.
    /// Every cut of a made-up member is told, so no pass is told.
    ///
    /// # Example
    /// A 3 in drain bored at the bottom of an 11-7/8 in I-joist, 1/2 in into its flange.
    "joist-engineered-cut", Wood, Code,
    "an I-joist or truss is cut",
    figures: ["engineered-flange"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("engineered-flange");
    for told in Told::each(ctx, |m| matches!(m.kind, MemberKind::IJoist | MemberKind::Truss)) {
        let (least, member) = (told.bore.cut.least(), told.member);
        let needs = member.flange.map(|flange| flange + figure.length());
        let in_flange = needs.is_some_and(|needs| !at_least(least, needs));
        let (name, passes, run) = (&member.label, told.passes(), told.run());
        let chord = if member.kind == MemberKind::Truss { "chord" } else { "flange" };
        let what = match in_flange {
            true => format!("hole for {passes} of {run} cuts a {chord} of {name}"),
            false => {
                format!("hole for {passes} of {run} in the {} {name} is for its maker's chart", told.kind())
            }
        };
        let verdict = if in_flange { Verdict::RedTag } else { Verdict::Ask };
        let mut finding = told.finding(RULE.id, verdict, what, figure.source());
        if let (Some(flange), Some(needs)) = (member.flange, needs) {
            finding = finding.measured(least.to_inches(), Limit::AtLeast(needs.to_inches()), "in").line(
                format!("{chord} {}, hole edge {} from the nearer face", decimal(flange), decimal(least)),
            );
        } else {
            finding = finding.line(format!("the height of its {chord} was not given"));
        }
        out.push(match in_flange {
            true => finding.help(format!("never cut a {chord}; pass through the web as the maker allows")),
            false => finding
                .help("read the maker's hole chart for this depth and place, and keep it with the permit"),
        });
    }
}
