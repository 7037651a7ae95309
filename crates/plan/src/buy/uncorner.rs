//! The way back from a corner cut off: two 1/8 bends become a 1/4 bend, a wye with an 1/8 bend in its branch a combination.
//!
//! The new fitting stands where the lines of the two legs meet. It needs more room than what it replaces and turns more sharply:
//! whether there is that room, and whether waste may turn so there, placement and rules have to say.

use super::corner::{Stands, across, farther, laying, moves, named, plain, shifted};
use super::swap::{Spot, Swap, SwapKind};
use crate::site::Site;
use nalgebra::{Point3, Vector3};
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::job::clock::Clock;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::Fit;
use truefall_model::label::Label;
use truefall_model::place::clock_of;
use truefall_model::units::Angle;

/// How far the lines of two legs may pass each other by and still be said to meet, inches.
const MEET_IN: f64 = 0.25;
/// How far two legs may be out of square and still be a corner's, as the cosine of their angle: the pitch of a 1/4 bend and more.
const SQUARE: f64 = 0.03;

/// Swaps of two 1/8 bends, one behind the other, for a 1/4 bend, short or long.
pub(super) fn quarters(site: &Site<'_>, spot: &Spot<'_>) -> Vec<Swap> {
    let families = [Family::QuarterBend, Family::LongTurnQuarterBend];
    families.into_iter().filter_map(|family| quarter(site, spot, family)).collect()
}

fn quarter(site: &Site<'_>, spot: &Spot<'_>, family: Family) -> Option<Swap> {
    let fits = site.job.fits(&spot.run)?;
    let second = fits.get(spot.at + 1)?;
    let second_name = FittingName::parse(second.fit.as_str())?;
    if !eighth(&spot.name) || !eighth(&second_name) || !plain(spot.fit) || !plain(second) {
        return None;
    }
    let (name, new) = named(site, family, &spot.name.sizes()[..1])?;
    let (low, high) = (Stands::of(site, &spot.fit.name, "")?, Stands::of(site, &second.name, "")?);
    let (was_low, was_high) = (low.part.pattern()?, high.part.pattern()?);
    let (on, back) = meet(centre(site, &low), low.into, centre(site, &high), high.out)?;
    let enter = laying(was_low, was_low.enter) - laying(&new, new.enter);
    let mut bend = shifted(site, spot.fit, low.into, on, enter)?;
    bend.fit = Label::new(name.to_string());
    let fit = |change| Edit::Fit { run: spot.run.clone(), change };
    let mut beyond = vec![fit(Change::Remove { at: spot.at + 1 })];
    let next = fits.get(spot.at + 2);
    if let Some(next) = next {
        let leave = laying(was_high, was_high.leave?) - laying(&new, new.leave?);
        let item = farther(next, back, leave);
        beyond.extend(item.map(|item| fit(Change::Replace { at: spot.at + 1, item: Box::new(item) })));
    }
    let turn = Turn { bend, port: "", into: low.into, out: high.out };
    let (edits, moves) = turn.clocked(site, spot, &beyond, &[next])?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::QuarterBend(family),
        words: format!("{name} instead of {}{moves}", both(&spot.name, &second_name)),
        edits,
    })
}

/// The swap of a wye with an 1/8 bend in its branch for a combination.
pub(super) fn combination(site: &Site<'_>, spot: &Spot<'_>) -> Option<Swap> {
    if spot.name.family() != Family::Wye || !plain(spot.fit) {
        return None;
    }
    let branch = site.job.branches.iter().find(|b| {
        b.from.fitting == spot.fit.name && b.from.port.as_ref().is_none_or(|port| port.as_str() == "branch")
    })?;
    let first = branch.along.first()?;
    let first_name = FittingName::parse(first.fit.as_str())?;
    if !eighth(&first_name) || !plain(first) || first_name.size(0) != spot.name.size(2) {
        return None;
    }
    let (name, new) = named(site, Family::Combination, spot.name.sizes())?;
    let (wye, bend) = (Stands::of(site, &spot.fit.name, "branch")?, Stands::of(site, &first.name, "")?);
    let (was_wye, was_bend) = (wye.part.pattern()?, bend.part.pattern()?);
    let (on, back) = meet(centre(site, &wye), wye.into, centre(site, &bend), bend.out)?;
    let less =
        |port: &str| Some(laying(was_wye, was_wye.port(port).ok()?) - laying(&new, new.port(port).ok()?));
    let mut tee = shifted(site, spot.fit, wye.into, on, less("down")?)?;
    tee.fit = Label::new(name.to_string());
    let above = site.job.fits(&spot.run)?.get(spot.at + 1);
    let mut beyond = Vec::new();
    if let Some(item) = above.and_then(|next| farther(next, -on, less("up")?)) {
        let change = Change::Replace { at: spot.at + 1, item: Box::new(item) };
        beyond.push(Edit::Fit { run: spot.run.clone(), change });
    }
    let fit = |change| Edit::Fit { run: branch.name.clone(), change };
    beyond.push(fit(Change::Remove { at: 0 }));
    let next = branch.along.get(1);
    if let Some(next) = next {
        let leave = laying(was_bend, was_bend.leave?) - laying(&new, new.port("branch").ok()?);
        let item = farther(next, back, leave);
        beyond.extend(item.map(|item| fit(Change::Replace { at: 0, item: Box::new(item) })));
    }
    let turn = Turn { bend: tee, port: "branch", into: wye.into, out: bend.out };
    let (edits, moves) = turn.clocked(site, spot, &beyond, &[above, next])?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::Combination,
        words: format!("{name} instead of {} and {first_name}{moves}", spot.name),
        edits,
    })
}

/// The fitting that takes the corner, and the ways of the legs at it.
struct Turn {
    bend: Fit,
    port: &'static str,
    into: Vector3<f64>,
    out: Vector3<f64>,
}

impl Turn {
    /// All edits, its own first, with a clock such that the leg beyond goes on where it went; none where no clock does that.
    fn clocked(
        &self,
        site: &Site<'_>,
        spot: &Spot<'_>,
        beyond: &[Edit],
        kept: &[Option<&Fit>],
    ) -> Option<(Vec<Edit>, String)> {
        let reckoned = clock_of(self.into, across(self.into, self.out)?);
        let over = [0.0, 180.0].map(|degrees| Some(Clock::at(Angle::degrees(degrees))));
        [Some(reckoned), over[0], over[1], None].into_iter().find_map(|clock| {
            let item = Box::new(Fit { clock, ..self.bend.clone() });
            let own = Edit::Fit { run: spot.run.clone(), change: Change::Replace { at: spot.at, item } };
            let edits: Vec<Edit> = std::iter::once(own).chain(beyond.iter().cloned()).collect();
            let mut job = site.job.clone();
            Edit::All(edits.clone()).apply(&mut job).ok()?;
            let moves = moves(site, &job, (&self.bend.name, self.port), self.out, kept)?;
            let words: Vec<String> =
                moves.iter().map(|(name, by)| format!("; {name} then stands {by} off")).collect();
            Some((edits, words.concat()))
        })
    }
}

fn eighth(name: &FittingName) -> bool {
    matches!(name.family(), Family::EighthBend | Family::StreetEighthBend)
}

fn both(first: &FittingName, second: &FittingName) -> String {
    if first == second { format!("two {first}s") } else { format!("{first} and {second}") }
}

fn centre(site: &Site<'_>, stands: &Stands<'_>) -> Point3<f64> {
    site.built().origin(stands.part.id)
}

/// How far on from the first, along the way into it, and how far back from the second, against the way out of it, their lines
/// meet; none where they don't, or not square.
fn meet(
    first: Point3<f64>,
    into: Vector3<f64>,
    second: Point3<f64>,
    out: Vector3<f64>,
) -> Option<(f64, f64)> {
    let (apart, cos) = (second - first, into.dot(&out));
    if cos.abs() > SQUARE {
        return None;
    }
    // The least of |apart - on into - back out|, by its normal equations.
    let (a, b) = (apart.dot(&into), apart.dot(&out));
    let det = 1.0 - cos * cos;
    let (on, back) = ((a - cos * b) / det, (b - cos * a) / det);
    let by = (apart - into * on - out * back).norm();
    (on > 0.0 && back > 0.0 && by <= MEET_IN).then_some((on, back))
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: a leg along x and one along y that starts at (5, 3) meet 5 on and 3 back.
    #[test]
    fn legs_meet_where_their_lines_cross_and_nowhere_where_they_pass() {
        let (x, y) = (Vector3::x(), Vector3::y());
        assert_eq!(meet(Point3::origin(), x, Point3::new(5.0, 3.0, 0.1), y), Some((5.0, 3.0)));
        assert_eq!(meet(Point3::origin(), x, Point3::new(5.0, 3.0, 1.0), y), None, "an inch over each other");
        assert_eq!(meet(Point3::origin(), x, Point3::new(5.0, 3.0, 0.0), x), None, "not square");
        assert_eq!(meet(Point3::origin(), x, Point3::new(5.0, -3.0, 0.0), y), None, "the corner lies behind");
    }
}
