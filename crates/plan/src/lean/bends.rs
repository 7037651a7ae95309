//! A pair of equal bends that sets the stack over and, the second rolled a little against the first, plumb: no joint gives.
//!
//! Two bends of an angle b whose turns are square to the lean, the second rolled by r out of the first one's plane, turn the
//! way by 2 asin(sin b sin(r / 2)) (spherical trigonometry, the law of cosines of an isosceles triangle). The roll is set so
//! that this is the lean.

use super::joints::free_name;
use super::remedy::{Idea, Kind};
use super::stack::Leaner;
use nalgebra::{Matrix2, Vector2, Vector3};
use truefall_model::catalog::family::Family;
use truefall_model::job::clock::Clock;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::{End, Fit};
use truefall_model::job::{Job, Placement};
use truefall_model::place::{RoughIn, place};
use truefall_model::tolerance::SLACK;
use truefall_model::units::Angle;

/// The two bends by family, the second a street bend pushed into the first.
const PAIRS: [(Family, Family); 2] =
    [(Family::EighthBend, Family::StreetEighthBend), (Family::SixteenthBend, Family::StreetSixteenthBend)];

/// More rounds than Newton's method needs from a start within half an hour of the clock.
const ROUNDS: usize = 20;

/// Both pairs, each set over to either side of the lean.
pub(super) fn pairs(stack: &Leaner<'_>) -> Vec<Idea> {
    let sides = [std::f64::consts::FRAC_PI_2, -std::f64::consts::FRAC_PI_2];
    PAIRS.iter().flat_map(|pair| sides.iter().filter_map(|side| idea(stack, *pair, *side))).collect()
}

/// The roll of one bend against the other that turns the way by an angle; none where the bends can't turn so far.
pub fn roll_for(bend: Angle, turn: Angle) -> Option<Angle> {
    let half = (turn.to_radians() / 2.0).sin() / bend.to_radians().sin();
    (half.abs() <= 1.0).then(|| Angle::radians(2.0 * half.asin()))
}

fn idea(stack: &Leaner<'_>, (first, second): (Family, Family), side: f64) -> Option<Idea> {
    // Over a sleeve already there: nothing is inserted between the old pipe and its coupling.
    let at = usize::from(stack.run.fits.first().is_some_and(|(_, fit)| {
        stack.rough_in.part(*fit).pattern().is_some_and(|p| p.family == Family::TransitionCoupling)
    }));
    let size = stack.rough_in.part(stack.base).size();
    let (one, other) = (free_name(stack, "OB"), {
        let number = free_name(stack, "OB").as_str().trim_start_matches("OB").parse::<u32>().ok()?;
        truefall_model::label::Label::new(format!("OB{}", number + 1))
    });
    let fits = [
        Fit::plain(format!("{size} {}", first.word()), &one),
        Fit::plain(format!("{size} {}", second.word()), &other),
    ];
    let way = *stack.way;
    let toward = way.x.atan2(way.y) + side;
    let clocks = solve(stack, at, &fits, toward)?;
    let [one_fit, other_fit] = clocked(&fits, clocks);
    let apart = apart(stack, &small_job(stack, at), at, &clocked(&fits, clocks))?;
    let (travel, set) = (apart.norm(), apart.xy().norm());
    let (bend, turn) = (first.bend()?, stack.angle());
    let roll = roll_for(bend, turn)?;
    let set_over = Clock::at(Angle::radians(clocks.x));
    let insert = |at, fit: &Fit| Edit::Fit {
        run: stack.written.name.clone(),
        change: Change::Insert { at, item: Box::new(fit.clone()) },
    };
    let mut edits = stack.clear();
    edits.extend([insert(at, &one_fit), insert(at + 1, &other_fit)]);
    if stack.job.cut_on != Placement::Found {
        edits.push(Edit::CutOn(Placement::Found));
    }
    Some(Idea {
        kind: Kind::Bends,
        words: format!(
            "put a {} and a {} under all else, set over to {set_over}, the second rolled {roll}",
            fits[0].fit, fits[1].fit
        ),
        lines: vec![
            format!(
                "2 asin(sin {bend} x sin({roll} / 2)) = {turn}: what the stack leans; all above stands plumb and no joint gives"
            ),
            format!(
                "clocks: {one} {}, {other} {}",
                Clock::at(Angle::radians(clocks.x)),
                Clock::at(Angle::radians(clocks.y))
            ),
            format!(
                "centres of the two {travel:.3} in apart, the second pushed into the first: that sets the stack over by {set:.3} in and \
                 takes {:.3} in of height; a piece between them sets it over farther",
                apart.z
            ),
            "every cut is solved on the leaning base: judge it with `check --placement found`".to_owned(),
        ],
        asked: None,
        edits,
        on_found: true,
    })
}

fn clocked(fits: &[Fit; 2], clocks: Vector2<f64>) -> [Fit; 2] {
    let [mut one, mut other] = fits.clone();
    one.clock = Some(Clock::at(Angle::radians(clocks.x)));
    other.clock = Some(Clock::at(Angle::radians(clocks.y)));
    [one, other]
}

/// The clocks at which the way out of the second bend is plumb.
fn solve(stack: &Leaner<'_>, at: usize, fits: &[Fit; 2], toward: f64) -> Option<Vector2<f64>> {
    let small = small_job(stack, at);
    let way_out = |clocks: Vector2<f64>| way_out(stack, &small, at, &clocked(fits, clocks));
    // What the second bend's clock is counted from depends on how steep the leg between is, so the start is looked for.
    let starts = (0..24).map(|i| Vector2::new(toward, f64::from(i) * std::f64::consts::PI / 12.0));
    let mut best: Option<(Vector2<f64>, Vector3<f64>)> = None;
    for clocks in starts {
        let out = way_out(clocks)?;
        if best.is_none_or(|(_, most)| out.z > most.z) {
            best = Some((clocks, out));
        }
    }
    let (mut clocks, mut out) = best?;
    for _ in 0..ROUNDS {
        if out.xy().norm() < 1e-13 {
            break;
        }
        let step = 1e-6;
        let by = |d: Vector2<f64>| Some((way_out(clocks + d)? - way_out(clocks - d)?).xy() / (2.0 * step));
        let slope = Matrix2::from_columns(&[by(Vector2::new(step, 0.0))?, by(Vector2::new(0.0, step))?]);
        clocks -= slope.try_inverse()? * out.xy();
        out = way_out(clocks)?;
    }
    (out.xy().norm() < SLACK && out.z > 0.0).then_some(clocks)
}

/// The job with nothing in it but the stack's base, and a sleeve on it where there is one.
fn small_job(stack: &Leaner<'_>, keep: usize) -> Job {
    let mut job = stack.job.clone();
    let mut only = stack.written.clone();
    only.up.truncate(keep);
    only.corrections = Vec::new();
    only.end = End::Open {};
    job.stacks = vec![only];
    (job.branches, job.fixtures, job.provided) = (Vec::new(), Vec::new(), Vec::new());
    job.accepted = Vec::new();
    job.cut_on = Placement::Found;
    job
}

/// From the first bend's centre to the second's, as found.
fn apart(stack: &Leaner<'_>, small: &Job, at: usize, fits: &[Fit; 2]) -> Option<Vector3<f64>> {
    let rough_in = on_base(stack, small, at, fits)?;
    let [.., (_, one), (_, other)] = rough_in.runs.first()?.fits[..] else { return None };
    Some(rough_in.found.origin(other) - rough_in.found.origin(one))
}

/// The two bends placed on the base and nothing else.
fn on_base(stack: &Leaner<'_>, small: &Job, at: usize, fits: &[Fit; 2]) -> Option<RoughIn> {
    let mut job = small.clone();
    job.stacks[0].up.truncate(at);
    job.stacks[0].up.extend(fits.iter().cloned());
    place(&job, stack.catalog).ok()
}

/// Unit vector out of the second bend, as found.
fn way_out(stack: &Leaner<'_>, small: &Job, at: usize, fits: &[Fit; 2]) -> Option<Vector3<f64>> {
    let rough_in = on_base(stack, small, at, fits)?;
    let (_, last) = *rough_in.runs.first()?.fits.last()?;
    let leave = rough_in.part(last).pattern()?.leave?;
    Some(rough_in.found.axis(&rough_in, last, leave))
}

#[cfg(test)]
mod tests {
    use super::*;

    // The law of cosines for a spherical triangle of two sides b with the angle r between: cos t = cos² b + sin² b cos r
    // (any handbook of spherical trigonometry).
    #[test]
    fn the_roll_is_that_of_the_spherical_triangle() {
        for (bend, turn) in [(45.0, 0.5), (45.0, 3.0), (22.5, 1.193), (22.5, 5.0)] {
            let (b, r) = (
                f64::to_radians(bend),
                roll_for(Angle::degrees(bend), Angle::degrees(turn)).unwrap().to_radians(),
            );
            let cos = b.cos().powi(2) + b.sin().powi(2) * r.cos();
            assert!((cos.acos().to_degrees() - turn).abs() < 1e-9, "{bend} {turn}");
        }
        assert!(roll_for(Angle::degrees(22.5), Angle::degrees(60.0)).is_none());
    }
}
