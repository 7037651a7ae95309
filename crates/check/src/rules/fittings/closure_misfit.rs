//! A tie whose closing piece does not meet its port.

use crate::ctx::Ctx;
use crate::finding::{Finding, Limit, Verdict};
use crate::lean::position_error;
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::place::{Closure, Joint, PartKind};
use truefall_model::tolerance::{TOUCH, at_most};
use truefall_model::units::{Angle, Length};

rule! {
    /// # What it checks
    ///
    /// A run tied back into another comes together: the closing piece's end is at the port's stop and in its line within what its
    /// joint can be set to, or it can be brought there by what its two joints can be set to, by what its hubs forgive, and by
    /// what the hubs of the leg before it give.
    ///
    /// # Why
    ///
    /// With both ends fixed nothing is left to give. A closing piece that misses by more is forced, and leaks or cracks.
    ///
    /// # Source
    ///
    /// Our own rule: geometry. The angle is the catalog's seat allowance for the joint; what a hub gives is a figure of our
    /// own after a standard's tolerance of laying lengths.
    ///
    /// # Limits
    ///
    /// What is left of the closing piece after the cut length was solved is looked at. Only the closing piece is turned and only
    /// the fitting before it moved along its leg: what joints farther back could give is not counted, and the grade the turned
    /// piece would have is not looked at anew. In the found placement two stacks that lean apart open a tie between them.
    ///
    /// # Example
    ///
    /// A re-vent is tied into a stack 6 ft up. As drawn it closes; the vent's own stack leans 0.1 in per ft away, and as
    /// found 5/8 in is left: tagged.
    "closure-misfit", Fittings,
    House("a run fixed at both ends has to come together without force"),
    "a tie does not come together",
    figures: ["closing-hub-play"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for closure in &ctx.placed.closures {
        let joint = ctx.rough_in.joints.iter().find(|j| j.closing && j.high.0 == closure.part);
        out.extend(joint.and_then(|joint| judge(ctx, closure, joint)));
    }
}

fn judge(ctx: &Ctx<'_>, closure: &Closure, joint: &Joint) -> Option<Finding> {
    let gap_error = gap_error(ctx, closure, joint);
    let play = Play::of(ctx, closure, joint);
    let gap_limit = Limit::AtMost(TOUCH.to_inches());
    let angle_limit = Limit::AtMost(joint.seat.to_degrees());
    let by_gap = Verdict::of(gap_limit.margin(closure.gap.to_inches()), gap_error.to_inches());
    let by_angle = (!angle_limit.allows(closure.angle.to_degrees())).then_some(Verdict::RedTag);
    let told = by_gap.into_iter().chain(by_angle).min().filter(|_| !play.is_enough());
    let verdict = told.or(ctx.passes.then_some(Verdict::Pass))?;
    let run = &ctx.rough_in.run(closure.run).label;
    let meets = if verdict == Verdict::Pass { "meets" } else { "does not meet" };
    let what = format!("{run} {meets} {}: {} and {} off", closure.to, gap_words(closure.gap), closure.angle);
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, RULE.source())
        .on([run, &closure.to.fitting, ctx.label(closure.part)])
        .at(closure.at);
    let finding = if told.is_none() && (by_gap.is_some() || by_angle.is_some()) {
        let (set, seat) = play.worse();
        finding.measured(set.to_degrees(), Limit::AtMost(seat.to_degrees()), "deg")
    } else if by_gap == told {
        finding.measured(closure.gap.to_inches(), gap_limit, "in").known_to(gap_error.to_inches())
    } else {
        finding.measured(closure.angle.to_degrees(), angle_limit, "deg")
    };
    Some(
        finding
            .line(format!(
                "from the piece's end to the port's stop {:.4} in, at most {:.4}",
                closure.gap.to_inches(),
                TOUCH.to_inches()
            ))
            .line(format!("between their lines {}, the joint can be set {}", closure.angle, joint.seat))
            .lines(play.lines())
            .help(help(closure.angle, joint.seat)),
    )
}

/// The best that can be made of a closing piece with what its joints, and the hubs of the leg before it, give.
struct Play {
    /// How far the fitting before the piece is moved along its leg, and how far its hubs let it.
    moved: [f64; 2],
    /// How much farther apart the two stops are than the piece is long, and what its hubs forgive.
    short: [f64; 2],
    /// What the piece's two joints stand at then, and what they can be set to: the fitting's and the port's.
    joints: [(Angle, Angle); 2],
}

impl Play {
    fn of(ctx: &Ctx<'_>, closure: &Closure, closing: &Joint) -> Self {
        let (rough_in, placed) = (ctx.rough_in, ctx.placed);
        let (target, port) = closing.low;
        let goal = placed.stop(rough_in, target, port);
        let into = -placed.axis(rough_in, target, port);
        let hub = ctx.profile.figure("closing-hub-play").value;
        let own = rough_in.joints.iter().find(|j| !j.closing && j.high.0 == closure.part);
        let (start, out, near) = match own {
            Some(j) => {
                let (part, port) = j.low;
                (placed.stop(rough_in, part, port), placed.axis(rough_in, part, port), j.seat)
            }
            None => (placed.stop(rough_in, closure.part, 0), into, Angle::radians(0.0)),
        };
        // Only a leg with pipe in it can be longer or shorter: its two hubs take it up.
        let leg =
            own.and_then(|j| rough_in.legs.iter().find(|l| l.high == Some(j.low.0) && l.piece.is_some()));
        let along = leg.map_or(Vector3::zeros(), |leg| {
            let (low, high) = rough_in.leg_ends(placed, leg.id);
            (high - low).try_normalize(1e-9).unwrap_or_else(Vector3::zeros)
        });
        let most = if leg.is_some() { 2.0 * hub } else { 0.0 };
        let long = match rough_in.part(closure.part).kind {
            PartKind::Piece { cut, .. } => cut.to_inches(),
            _ => (placed.stop(rough_in, closure.part, 1) - start).norm(),
        };
        let stands = |moved: f64| {
            let piece = goal - (start + along * moved);
            let set = |axis: &Vector3<f64>| Angle::radians(piece.angle(axis));
            ([(set(&out), near), (set(&into), closing.seat)], piece.norm() - long)
        };
        let over = |moved: f64| {
            stands(moved)
                .0
                .iter()
                .map(|(set, seat)| set.to_radians() - seat.to_radians())
                .fold(f64::MIN, f64::max)
        };
        let moved = least(-most, most, over);
        let (joints, short) = stands(moved);
        Self { moved: [moved, most], short: [short, 2.0 * hub], joints }
    }

    /// Whether the piece comes into its port so.
    fn is_enough(&self) -> bool {
        let [short, most] = self.short;
        let touch = TOUCH.to_inches();
        let [near, far] = self.joints;
        short >= -touch && short <= most + touch && [near, far].iter().all(|(set, seat)| at_most(*set, *seat))
    }

    /// The joint with less left.
    fn worse(&self) -> (Angle, Angle) {
        let left = |(set, seat): (Angle, Angle)| seat.to_radians() - set.to_radians();
        let [near, far] = self.joints;
        if left(near) < left(far) { near } else { far }
    }

    fn lines(&self) -> Vec<String> {
        let ([moved, give], [short, hubs], [near, far]) = (self.moved, self.short, self.joints);
        vec![
            format!(
                "with the fitting before it {:.4} in up or down its leg, whose hubs give {give:.4}, the joints of the piece stand at {:.2} and {:.2} degrees, can be set {:.2} and {:.2}",
                moved.abs(),
                near.0.to_degrees(),
                far.0.to_degrees(),
                near.1.to_degrees(),
                far.1.to_degrees()
            ),
            if short > 0.0 {
                format!("the piece is then {short:.4} in short of its stops, its hubs forgive {hubs:.4}")
            } else {
                format!("the piece is then {:.4} in too long, at most {:.4}", -short, TOUCH.to_inches())
            },
        ]
    }
}

/// Where a function that falls and then rises is least; the middle where it is least all over.
fn least(low: f64, high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    // Each turn leaves two thirds: sixty of them leave less than a billionth of an inch.
    for _ in 0..60 {
        let third = (high - low) / 3.0;
        if of(low + third) > of(high - third) { low += third } else { high -= third }
    }
    f64::midpoint(low, high)
}

fn gap_words(gap: Length) -> String {
    if gap.to_inches() < 1.0 / 32.0 { format!("{:.3} in", gap.to_inches()) } else { gap.to_string() }
}

fn help(angle: Angle, seat: Angle) -> &'static str {
    if angle.to_radians() > seat.to_radians() {
        "turn the last fitting so that its line is the port's, or close it with a bend that can be rolled"
    } else {
        "move the fitting before the closing piece onto the port's line, or close it with a slip coupling"
    }
}

/// What the survey leaves open of the gap: nothing where both sides hang on one stack.
fn gap_error(ctx: &Ctx<'_>, closure: &Closure, joint: &Joint) -> Length {
    let rough_in = ctx.rough_in;
    let (target, port) = joint.low;
    let stack = |part| rough_in.stack_of(rough_in.part(part).run).id;
    if stack(target) == stack(closure.part) {
        return Length::ZERO;
    }
    let stop = ctx.placed.stop(rough_in, target, port);
    let along = (closure.at - stop).try_normalize(1e-9).unwrap_or_else(Vector3::z);
    let one = position_error(ctx, closure.part, closure.at, along).to_inches();
    let other = position_error(ctx, target, stop, along).to_inches();
    Length::inches(one.hypot(other))
}
